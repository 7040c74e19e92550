"""What did earlier seasons show, each on its own?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.charts.chart import Chart
from takestats.charts.share_axis import ShareAxis
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
from takestats.charts.takes import axis_floor
from takestats.wording.charts import (
    AXIS_TAKE,
    HISTORY_KEY,
    Take,
    axis_percent,
    counts_value,
    history_sentence,
    take_value,
)

_LINE = 0.19
_GAP = 0.16
_LEFT = 0.09
_RIGHT = 0.43
_SIZE = 8.0


def history_chart(
    takes: Sequence[tuple[str, Take]],
    what: str,
    *,
    name: str,
    marker: str = "",
) -> Chart:
    """What did earlier seasons show, each on its own?

    Parameters
    ----------
    takes : sequence of (season, Take)
        Raw takes with quick limits; the level is the name of the Take.
    what : str
        What the levels are, as "method".
    name : str
        Short name of the chart.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        A row per level and season with open marks: history is never a pooled number.
    """
    levels = list(dict.fromkeys(take.name for _, take in takes))
    rows = {level: [(s, t) for s, t in takes if t.name == level] for level in levels}
    total = _GAP + sum(_LINE * (len(wrapped(level)) + len(rows[level])) + _GAP for level in levels)
    axis = ShareAxis(left=_LEFT, right=_RIGHT, low=axis_floor([take.low for _, take in takes]))
    with house_style():
        figure, axes = inch_axes(total)
        axes.set_xlim(0.0, 1.0)
        across = [axis.place(value) for value in axis.marks]
        axes.set_xticks(across, [axis_percent(value) for value in axis.marks])
        axes.set_xlabel(AXIS_TAKE, fontsize=SMALL_SIZE, labelpad=3, x=(_LEFT + _RIGHT) / 2)
        axes.spines["bottom"].set_bounds(_LEFT, _RIGHT)
        y = total - _GAP / 2
        for index, level in enumerate(levels):
            for line in wrapped(level):
                y -= _LINE
                axes.text(0.0, y, line, fontsize=NAME_SIZE, color=INK)
            top = y - 0.04
            for season, take in rows[level]:
                y -= _LINE
                middle = y + 0.04
                axes.text(0.0, y, season, fontsize=_SIZE, color=LINE)
                axes.plot(
                    [axis.place(take.low), axis.place(take.high)],
                    [middle, middle],
                    color=SOFT,
                    lw=1.3,
                )
                axes.plot(
                    [axis.place(take.rate)],
                    [middle],
                    marker=shape(index),
                    markerfacecolor="white",
                    markeredgecolor=INK,
                    markersize=5.5,
                    zorder=4,
                )
                axes.text(
                    _RIGHT + 0.025,
                    y,
                    take_value(take.rate, take.low, take.high),
                    fontsize=_SIZE,
                    color=INK,
                )
                axes.text(
                    1.0,
                    y,
                    counts_value(take.taken, take.tried, float("nan")).removesuffix(" took"),
                    fontsize=_SIZE,
                    color=LINE,
                    ha="right",
                )
            for place in across:
                axes.plot([place, place], [y - 0.02, top], color=PALE, lw=0.6, zorder=0)
            y -= _GAP
    spoken = " ".join(
        f"{take.name}, {season}: {take_value(take.rate, take.low, take.high)}."
        for season, take in takes
    )
    return Chart(
        name=name,
        figure=figure,
        title=f"Earlier seasons by {what}",
        sentence=f"{marker} {history_sentence(what, takes)}".strip(),
        key=HISTORY_KEY,
        spoken=spoken,
    )
