"""Which level took best, and how sure is that?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from takestats.charts.chart import Chart
from takestats.charts.style import (
    INK,
    LINE,
    NAME_SIZE,
    PALE,
    SMALL_SIZE,
    SOFT,
    house_style,
    inch_axes,
    shape,
    wrapped,
)
from takestats.wording.charts import (
    AXIS_TAKE,
    Take,
    axis_percent,
    counts_value,
    take_value,
    takes_key,
    takes_sentence,
    takes_spoken,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_NAME_LINE = 0.175
_STRIP = 0.30
_GAP = 0.14
_TICK = 0.065


def takes_chart(
    takes: Sequence[Take],
    what: str,
    *,
    name: str,
    tray_takes: Mapping[str, Sequence[float]] | None = None,
    level: float = 0.95,
    floor: float | None = None,
    marker: str = "",
) -> Chart:
    """Which level took best, and how sure is that?

    Parameters
    ----------
    takes : sequence of Take
        One per level, in the order to show, as in the result's table.
    what : str
        What the levels are, as "method".
    name : str
        Short name of the chart.
    tray_takes : mapping of level to take of its trays, optional
        Proportions; a small tick for each.
    level : float
        Of the intervals.
    floor : float, optional
        Where the axis starts, when several charts share one.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        Dot with interval and a small tick per tray; numbers as given, none computed.
    """
    ticks = dict(tray_takes or {})
    heights = [_row_height(take.name) for take in takes]
    total = sum(heights) + _GAP
    every = [value for values in ticks.values() for value in values]
    low = axis_floor([take.low for take in takes] + every) if floor is None else floor
    with house_style():
        figure, axes = inch_axes(total)
        _percent_axis(axes, low)
        top = total - _GAP / 2
        for index, (take, height) in enumerate(zip(takes, heights, strict=True)):
            _row(axes, take, top, index, ticks.get(take.name, ()), low)
            top -= height
    sentence = takes_sentence(what, takes, level)
    return Chart(
        name=name,
        figure=figure,
        title=f"Take by {what}",
        sentence=f"{marker} {sentence}".strip(),
        key=takes_key(level, bool(every)),
        spoken=takes_spoken(takes),
    )


def axis_floor(values: Sequence[float]) -> float:
    """Where an axis of takes starts: the ten percent below the lowest value.

    Examples
    --------
    >>> axis_floor([0.83, 0.91]), axis_floor([0.04])
    (0.8, 0.0)
    """
    lowest = min((value for value in values if not math.isnan(value)), default=0.0)
    return max(0.0, min(0.8, math.floor(lowest * 10.0 + 1e-9) / 10.0))


def _row_height(text: str) -> float:
    return _NAME_LINE * (len(wrapped(text)) + 1) + _STRIP + _GAP


def _percent_axis(axes: Axes, low: float) -> None:
    pad = (1.0 - low) * 0.012
    axes.set_xlim(low - pad, 1.0 + pad)
    step = 0.05 if low >= 0.8 else (0.1 if low >= 0.4 else 0.2)
    first = math.ceil(low / step - 1e-9)
    places = [step * k for k in range(first, round(1.0 / step) + 1)]
    axes.set_xticks(places, [axis_percent(place) for place in places])
    axes.set_xlabel(AXIS_TAKE, fontsize=SMALL_SIZE, labelpad=3)
    for place in places:
        axes.axvline(place, color=PALE, linewidth=0.6, zorder=0)


def _row(
    axes: Axes, take: Take, top: float, index: int, ticks: Sequence[float], low: float
) -> None:
    across = axes.get_yaxis_transform()
    paper = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
    y = top
    for line in wrapped(take.name):
        y -= _NAME_LINE
        axes.text(
            0.0, y, line, transform=across, fontsize=NAME_SIZE, color=INK, bbox=paper, zorder=3
        )
    y -= _NAME_LINE
    said = counts_value(take.taken, take.tried, take.trays)
    axes.text(0.0, y, said, transform=across, fontsize=SMALL_SIZE, color=LINE, bbox=paper, zorder=3)
    axes.text(
        1.0,
        y,
        take_value(take.rate, take.low, take.high),
        transform=across,
        fontsize=NAME_SIZE,
        color=INK,
        ha="right",
        bbox=paper,
        zorder=3,
    )
    y -= 0.12
    axes.plot([take.low, take.high], [y, y], color=LINE, linewidth=2.2, solid_capstyle="butt")
    axes.plot([take.rate], [y], marker=shape(index), color=INK, markersize=6.5, zorder=4)
    draw_ticks(axes, ticks, y - 0.09, (1.0 - low) * 0.006)


def draw_ticks(axes: Axes, values: Sequence[float], y: float, near: float) -> None:
    """Draw a small tick per tray; trays at one place go in rows below one another."""
    depth: dict[int, int] = {}
    ordered = sorted(values)
    tops = []
    for value in ordered:
        place = round(value / near)
        deep = depth.get(place, 0)
        depth[place] = deep + 1
        tops.append(y - min(deep, 2) * (_TICK + 0.012))
    if not tops:
        return
    # One path for them all: the library draws hundreds of lines one by one, far slower.
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    ends = [(x, y) for x, top in zip(ordered, tops, strict=True) for y in (top - _TICK, top)]
    path = Path(np.array(ends), [Path.MOVETO, Path.LINETO] * len(tops))
    path.should_simplify = False
    style = {"facecolor": "none", "edgecolor": SOFT, "linewidth": 1.0, "capstyle": "butt"}
    axes.add_artist(PathPatch(path, snap=True, **style))
