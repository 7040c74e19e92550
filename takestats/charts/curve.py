"""Along a caliper or through the season, where does the take lie close to its best?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from takestats.charts.chart import Chart
from takestats.charts.style import (
    INK,
    LINE,
    NAME_SIZE,
    PALE,
    SMALL_SIZE,
    SOFT,
    WIDTH,
    blank_figure,
    house_style,
    shape,
    wrapped,
)
from takestats.charts.takes import axis_floor
from takestats.wording.along import Place, Scale, Window, axis_value
from takestats.wording.along_chart import bar_words, curve_key, curve_spoken
from takestats.wording.along_told import window_words
from takestats.wording.charts import AXIS_TAKE, axis_percent
from takestats.wording.said import opened

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_LEFT, _RIGHT = 0.66, 0.14
_FOOT, _TOP = 0.5, 0.06
_PANEL = 2.1
_NAME = 0.19
_GAP = 0.12
_BAR = 0.36
_SPOKEN = 5


@dataclass(frozen=True, eq=False, kw_only=True)
class CurveLine:
    """One curve of a chart: numbers as given, none computed here.

    Parameters
    ----------
    name : str
        The level it belongs to; blank when there is one curve for all.
    places : tuple of Place
        In order; the take with its band.
    window : Window
        Where the take is close to its best.
    dots : mapping of str to sequence of (float, float)
        Value and raw take of each tray, by level; one level with a blank name for all.
    """

    name: str
    places: tuple[Place, ...]
    window: Window
    dots: Mapping[str, Sequence[tuple[float, float]]]


def curve_chart(
    lines: Sequence[CurveLine],
    scale: Scale,
    *,
    name: str,
    within: float = 0.05,
    level: float = 0.95,
    marker: str = "",
) -> Chart:
    """Along a caliper or through the season, where does the take lie close to its best?

    Parameters
    ----------
    lines : sequence of CurveLine
        One panel each, on the same axes.
    scale : Scale
        What the curve runs along.
    name : str
        Short name of the chart.
    within : float
        Of the windows, as a proportion.
    level : float
        Of the bands.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        Curve with a pale band, a mark for each tray, and a bar for the window.
    """
    shown = [[dot for dots in line.dots.values() for dot in dots] for line in lines]
    levels = list(dict.fromkeys(text for line in lines for text in line.dots))
    low = axis_floor([p.low for line in lines for p in line.places] + _takes(shown))
    across = [dot[0] for dots in shown for dot in dots] + [
        place.at for line in lines for place in line.places
    ]
    heads = [_head(line) for line in lines]
    total = (
        _FOOT
        + _TOP
        + sum(_PANEL + _BAR + _NAME * len(head) for head in heads)
        + _GAP * (len(lines) - 1)
    )
    with house_style():
        figure = blank_figure(total)
        top = total - _TOP
        for index, (line, head) in enumerate(zip(lines, heads, strict=True)):
            for text in head:
                top -= _NAME
                figure.text(
                    _LEFT / WIDTH, (top + 0.05) / total, text, fontsize=NAME_SIZE, color=INK
                )
            room = _PANEL + _BAR
            axes = figure.add_axes(
                (
                    _LEFT / WIDTH,
                    (top - room) / total,
                    (WIDTH - _LEFT - _RIGHT) / WIDTH,
                    room / total,
                )
            )
            _frame(axes, scale, across, low, last=index == len(lines) - 1, room=room)
            _draw(axes, line, scale, within, levels)
            top -= room + _GAP
    return Chart(
        name=name,
        figure=figure,
        title=f"Take along {scale.name}",
        sentence=f"{marker} {_sentence(lines, scale, within)}".strip(),
        key=curve_key(level, [text for text in levels if text]),
        spoken=" ".join(
            part
            for line in lines
            for part in (
                curve_spoken(scale, _five(line.places), line.name, level),
                f"{opened(bar_words(scale, line.window, within))}.",
            )
        ),
    )


def _sentence(lines: Sequence[CurveLine], scale: Scale, within: float) -> str:
    """What each curve shows."""
    return " ".join(
        window_words(scale, line.window, (line.places[0].at, line.places[-1].at), within, line.name)
        for line in lines
    )


def _five(places: Sequence[Place]) -> list[Place]:
    """Five of the places, the ends among them."""
    last = len(places) - 1
    return [places[i] for i in sorted({last * k // (_SPOKEN - 1) for k in range(_SPOKEN)})]


def _takes(shown: Sequence[Sequence[tuple[float, float]]]) -> list[float]:
    return [take for dots in shown for _, take in dots]


def _head(line: CurveLine) -> list[str]:
    return wrapped(line.name) if line.name else []


def _frame(
    axes: Axes, scale: Scale, across: Sequence[float], low: float, *, last: bool, room: float
) -> None:
    """Axes in percent and in the unit of the curve, with the room for the bar on top."""
    high = 1.0 + (1.0 - low) * 0.03
    bottom = low - (1.0 - low) * 0.03
    over = (high - bottom) * (room - _PANEL) / _PANEL
    axes.set_ylim(bottom, high + over)
    step = 0.05 if low >= 0.8 else (0.1 if low >= 0.4 else 0.2)
    first = math.ceil(low / step - 1e-9)
    places = [step * k for k in range(first, round(1.0 / step) + 1)]
    axes.set_yticks(places, [axis_percent(place) for place in places], fontsize=SMALL_SIZE)
    pad = (max(across) - min(across)) * 0.02 or 1.0
    axes.set_xlim(min(across) - pad, max(across) + pad)
    ticks = _ticks(min(across), max(across), scale)
    axes.set_xticks(ticks, [axis_value(scale, tick) for tick in ticks] if last else [])
    axes.tick_params(length=3, width=0.7, labelsize=SMALL_SIZE, labelcolor=INK)
    axes.tick_params(axis="y", length=0)
    axes.set_ylabel(AXIS_TAKE, fontsize=SMALL_SIZE, labelpad=3)
    for place in places:
        axes.axhline(place, color=PALE, linewidth=0.6, zorder=0)
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    if last:
        axes.set_xlabel(scale.axis, fontsize=SMALL_SIZE, labelpad=3)


def _ticks(low: float, high: float, scale: Scale) -> list[float]:
    """Even places: whole weeks for days, else the nearest of 1, 2 and 5."""
    spread = max(high - low, 1e-9)
    if scale.over.startswith("day"):
        steps = [1.0, 2.0, 7.0, 14.0, 28.0, 56.0, 112.0]
    else:
        power = 10.0 ** math.floor(math.log10(spread))
        steps = [power * k for k in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0)]
    step = next((s for s in steps if spread / s <= 6.0), steps[-1])
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [step * k for k in range(first, last + 1)]


def _draw(axes: Axes, line: CurveLine, scale: Scale, within: float, levels: Sequence[str]) -> None:
    """The band, a mark for each tray, the curve, and the bar of the window."""
    x = [place.at for place in line.places]
    axes.fill_between(
        x,
        [place.low for place in line.places],
        [place.high for place in line.places],
        color=PALE,
        linewidth=0.0,
        zorder=1,
    )
    for text, dots in line.dots.items():
        axes.plot(
            [value for value, _ in dots],
            [take for _, take in dots],
            linestyle="none",
            marker=shape(levels.index(text)),
            markersize=4.2,
            markerfacecolor="white",
            markeredgecolor=SOFT,
            markeredgewidth=0.9,
            zorder=2,
            clip_on=False,
        )
    axes.plot(x, [place.take for place in line.places], color=INK, linewidth=2.0, zorder=3)
    _window(axes, line.window, bar_words(scale, line.window, within))


def _window(axes: Axes, window: Window, said: str) -> None:
    """A bar on top of the panel, its sure part thicker, its words above it."""
    across = axes.get_xaxis_transform()
    inch = 1.0 / (_PANEL + _BAR)
    at, text_at = 1.0 - 0.27 * inch, 1.0 - 0.16 * inch
    left, right = axes.get_xlim()
    if math.isnan(window.low):
        axes.text(0.5, text_at, said, transform=axes.transAxes, fontsize=SMALL_SIZE, ha="center")
        return
    bar: dict[str, Any] = {"transform": across, "solid_capstyle": "butt"}
    axes.plot([window.low, window.high], [at, at], color=LINE, linewidth=2.2, zorder=4, **bar)
    for end in (window.low, window.high):
        reach = [at - 0.05 * inch, at + 0.05 * inch]
        axes.plot([end, end], reach, color=LINE, linewidth=1.2, zorder=4, **bar)
    if not math.isnan(window.sure_low):
        sure = [window.sure_low, window.sure_high]
        axes.plot(sure, [at, at], color=INK, linewidth=5.0, zorder=5, **bar)
    middle = (window.low + window.high) / 2
    share = (middle - left) / (right - left)
    side, place = "center", middle
    if share < 1 / 3:
        side, place = "left", window.low
    elif share > 2 / 3:
        side, place = "right", window.high
    axes.text(place, text_at, said, transform=across, fontsize=SMALL_SIZE, color=INK, ha=side)
