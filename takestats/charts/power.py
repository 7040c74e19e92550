"""How often does a trial of so many trays answer its question, and how well?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.charts.chart import Chart
from takestats.charts.line_axes import level_ticks, line_axes, name_ends, name_level
from takestats.charts.style import INK, LINE, SMALL_SIZE, SOFT, house_style, shape
from takestats.wording import plan_charts as words
from takestats.wording.planning import icc_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MARK, _BOLD = 4.6, 6.8
_HUNDREDS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


def power_chart(
    rows: Sequence[words.PowerPoint],
    needed: Sequence[words.PowerPoint],
    planned: words.Planned,
    *,
    marker: str = "",
) -> Chart:
    """How often would so many trays answer the question?

    Parameters
    ----------
    rows : sequence of PowerPoint
        As in the plan's ``by_trays``.
    needed : sequence of PowerPoint
        One for each correlation, as in the plan's table: for the sentence.
    planned : Planned
    marker : str
        Set before the sentence when the past was invented or quoted.

    Returns
    -------
    Chart
        A line for each correlation, named at its end; the power asked for as a thin line, the plan
        filled.
    """
    with house_style():
        figure, axes = line_axes()
        _trays_axis(axes, rows, planned)
        axes.set_ylim(0.0, 1.02)
        texts = [words.axis_hundred(place) for place in _HUNDREDS]
        level_ticks(axes, _HUNDREDS, texts, words.AXIS_POWER)
        _lines(axes, rows, [row.power for row in rows], planned)
        _asked_for(axes, planned)
    lines = len({row.icc for row in rows})
    return Chart(
        name="power-by-trays",
        figure=figure,
        title=words.power_title(planned),
        sentence=f"{marker} {words.power_sentence(planned, needed)}".strip(),
        key=words.power_key(min(row.trials for row in rows), lines=lines),
        spoken=words.power_spoken(rows),
    )


def width_chart(
    rows: Sequence[words.PowerPoint], planned: words.Planned, *, marker: str = ""
) -> Chart:
    """How wide will the interval be after so many trays?

    Parameters
    ----------
    rows, planned, marker
        As for :func:`power_chart`.
    """
    widths = [row.width for row in rows]
    top = max(width for width in widths if not math.isnan(width))
    step = next(s for s in (0.02, 0.05, 0.1, 0.2) if top / s <= 6.0 or s == 0.2)
    places = [step * k for k in range(math.ceil(top / step - 1e-9) + 1)]
    with house_style():
        figure, axes = line_axes()
        _trays_axis(axes, rows, planned)
        axes.set_ylim(0.0, places[-1] * 1.02)
        texts = [words.axis_hundred(place) for place in places]
        level_ticks(axes, places, texts, words.AXIS_WIDTH)
        _lines(axes, rows, widths, planned)
    return Chart(
        name="width-by-trays",
        figure=figure,
        title=words.width_title(planned),
        sentence=f"{marker} {words.width_sentence(planned, rows)}".strip(),
        key=words.width_key(lines=len({row.icc for row in rows})),
        spoken=words.width_spoken(rows),
    )


def tray_size_chart(
    rows: Sequence[words.SizePoint], planned: words.Planned, *, trials: int, marker: str = ""
) -> Chart:
    """What would larger or smaller trays do?

    Parameters
    ----------
    rows : sequence of SizePoint
        As in the plan's ``by_tray_size``.
    planned, marker
        As for :func:`power_chart`.
    trials : int
        Simulated trials of a point off the plan.
    """
    sizes = sorted({row.tray_size for row in rows})
    place = {size: index for index, size in enumerate(sizes)}
    with house_style():
        figure, axes = line_axes()
        axes.set_xlim(-0.3, len(sizes) - 0.8)
        axes.set_xticks(range(len(sizes)), [str(size) for size in sizes])
        axes.set_xlabel(words.AXIS_SIZE, fontsize=SMALL_SIZE, labelpad=3)
        axes.set_ylim(0.0, 1.02)
        texts = [words.axis_hundred(x) for x in _HUNDREDS]
        level_ticks(axes, _HUNDREDS, texts, words.AXIS_POWER)
        ends = []
        for index, trays in enumerate(sorted({row.trays for row in rows}, reverse=True)):
            mine = [row for row in rows if row.trays == trays]
            xs = [place[row.tray_size] for row in mine]
            _line(axes, xs, [row.power for row in mine], index)
            own = [row for row in mine if row.tray_size == planned.tray_size]
            if trays == planned.trays and own:
                _filled(axes, place[planned.tray_size], own[0].power, index)
            ends.append((xs[-1], mine[-1].power, words.trays_of(trays, False)))
        name_ends(axes, ends)
        _asked_for(axes, planned)
    return Chart(
        name="power-by-tray-size",
        figure=figure,
        title=words.SIZE_TITLE,
        sentence=f"{marker} {words.size_sentence(planned, rows)}".strip(),
        key=words.size_key(planned.icc, trials),
        spoken=words.size_spoken(rows),
    )


def _trays_axis(axes: Axes, rows: Sequence[words.PowerPoint], planned: words.Planned) -> None:
    last = max(row.trays for row in rows)
    axes.set_xlim(0.0, 1.03 * last)
    step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 200) if last / s <= 8 or s == 200)
    axes.set_xticks([step * k for k in range(1, last // step + 1)])
    name = words.AXIS_TRAYS_EACH if planned.each else words.AXIS_TRAYS
    axes.set_xlabel(name, fontsize=SMALL_SIZE, labelpad=3)
    axes.axvline(planned.trays, color=SOFT, linewidth=0.9, linestyle=(0, (3, 3)), zorder=1)
    axes.text(
        planned.trays, 0.02, f" {words.plan_label(planned.trays)}", fontsize=SMALL_SIZE, color=INK,
        transform=axes.get_xaxis_transform(), ha="left" if planned.trays < 0.7 * last else "right",
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8}, zorder=3,
    )  # fmt: skip


def _asked_for(axes: Axes, planned: words.Planned) -> None:
    """The power asked for, named where no line of a plan runs: the lines stand already."""
    axes.axhline(planned.wanted, color=INK, linewidth=0.9, zorder=1)
    name_level(axes, planned.wanted, words.wanted_label(planned.wanted))


def _lines(
    axes: Axes,
    rows: Sequence[words.PowerPoint],
    values: Sequence[float],
    planned: words.Planned,
) -> None:
    ends = []
    for index, icc in enumerate(dict.fromkeys(row.icc for row in rows)):
        mine = [(r.trays, v) for r, v in zip(rows, values, strict=True) if r.icc == icc]
        _line(axes, [x for x, _ in mine], [y for _, y in mine], index)
        at = [y for x, y in mine if x == planned.trays]
        if icc == planned.icc and at:
            _filled(axes, planned.trays, at[0], index)
        ends.append((*mine[-1], icc_words(icc)))
    name_ends(axes, ends, words.LABELS_OVER)


def _line(axes: Axes, xs: Sequence[float], ys: Sequence[float], index: int) -> None:
    axes.plot(
        xs, ys, color=LINE, linewidth=1.3, marker=shape(index), markersize=_MARK,
        markerfacecolor="white", markeredgecolor=INK, markeredgewidth=0.8, zorder=4, clip_on=False,
    )  # fmt: skip


def _filled(axes: Axes, x: float, y: float, index: int) -> None:
    axes.plot([x], [y], marker=shape(index), color=INK, markersize=_BOLD, zorder=5, clip_on=False)
