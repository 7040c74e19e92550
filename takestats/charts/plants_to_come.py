"""How many plants are to come of what was wanted, and how sure is that?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

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
from takestats.wording.numbers import plain
from takestats.wording.order_chart import (
    AXIS_PLANTS,
    Plants,
    plants_key,
    plants_sentence,
    plants_spoken,
    plants_value,
    wanted_value,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_NAME_LINE = 0.175
_STRIP = 0.24
_GAP = 0.12
_STEPS = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
_MOST_MARKS = 7
_ALL = 100.0


def plants_chart(
    rows: Sequence[Plants],
    *,
    name: str,
    assurance: float,
    typed: bool,
    recorded: bool,
    marker: str = "",
) -> Chart:
    """How many plants are to come of what was wanted, and how sure is that?

    Parameters
    ----------
    rows : sequence of Plants
        One per combination, in the order to show.
    name : str
        Short name of the chart.
    assurance : float
    typed, recorded : bool
        Some rest on typed takes; some on records.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        Dot with line on one axis, plants for every 100 wanted; numbers as given.
    """
    heights = [_NAME_LINE * (len(wrapped(row.name)) + 1) + _STRIP + _GAP for row in rows]
    total = sum(heights) + _GAP
    ends = [_ALL * end / row.wanted for row in rows for end in (row.low, row.high)]
    with house_style():
        figure, axes = inch_axes(total)
        _axis(axes, min([*ends, _ALL]), max([*ends, _ALL]))
        top = total - _GAP / 2
        for index, (row, height) in enumerate(zip(rows, heights, strict=True)):
            _row(axes, row, top, index)
            top -= height
    return Chart(
        name=name,
        figure=figure,
        title="Plants to come",
        sentence=f"{marker} {plants_sentence(rows)}".strip(),
        key=plants_key(assurance, typed=typed, recorded=recorded),
        spoken=plants_spoken(rows),
    )


def _axis(axes: Axes, low: float, high: float) -> None:
    step = next((s for s in _STEPS if (high - low) / s <= _MOST_MARKS), _STEPS[-1])
    first, last = math.floor(low / step), math.ceil(high / step)
    if step * first >= _ALL:  # the upright line is not the edge
        first -= 1
    marks = [step * k for k in range(first, last + 1)]
    # Room for the numbers at the right of the lines.
    pad = (marks[-1] - marks[0]) * 0.02
    axes.set_xlim(marks[0] - pad, marks[-1] + pad)
    axes.set_xticks(marks, [plain(mark) for mark in marks])
    axes.set_xlabel(AXIS_PLANTS, fontsize=SMALL_SIZE, labelpad=3)
    for mark in marks:
        axes.axvline(mark, color=PALE, linewidth=0.6, zorder=0)
    axes.axvline(_ALL, color=SOFT, linewidth=1.2, zorder=1)


def _row(axes: Axes, row: Plants, top: float, index: int) -> None:
    across = axes.get_yaxis_transform()
    paper = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
    y = top
    for line in wrapped(row.name):
        y -= _NAME_LINE
        axes.text(
            0.0, y, line, transform=across, fontsize=NAME_SIZE, color=INK, bbox=paper, zorder=3
        )
    y -= _NAME_LINE
    axes.text(
        0.0, y, wanted_value(row), transform=across, fontsize=SMALL_SIZE, color=LINE, bbox=paper,
        zorder=3,
    )  # fmt: skip
    axes.text(
        1.0, y, plants_value(row), transform=across, fontsize=NAME_SIZE, color=INK, ha="right",
        bbox=paper, zorder=3,
    )  # fmt: skip
    y -= 0.12
    low, middle, high = (_ALL * end / row.wanted for end in (row.low, row.expected, row.high))
    axes.plot([low, high], [y, y], color=LINE, linewidth=2.2, solid_capstyle="butt")
    axes.plot([middle], [y], marker=shape(index), color=INK, markersize=6.5, zorder=4)
