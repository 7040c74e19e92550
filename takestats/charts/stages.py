"""Where are grafts lost between the bench and the sale?"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from takestats.charts.chart import Chart
from takestats.charts.share_axis import ShareAxis
from takestats.charts.style import (
    INK,
    LINE,
    NAME_SIZE,
    PALE,
    SMALL_SIZE,
    house_style,
    inch_axes,
    wrapped,
)
from takestats.charts.takes import axis_floor
from takestats.wording.charts import axis_percent, take_value
from takestats.wording.stage_chart import (
    AXIS_STAGES,
    Stage,
    counted_value,
    stages_key,
    stages_sentence,
    stages_spoken,
)

_LINE = 0.19
_GAP = 0.16
_LEFT = 0.26
_RIGHT = 0.54
_SIZE = 8.0
_SHAPES = {"taken": "o", "alive later": "s", "saleable of taken": "D", "saleable of made": "^"}


def stages_chart(
    stages: Sequence[Stage],
    season: str,
    *,
    name: str,
    level: float = 0.95,
    marker: str = "",
) -> Chart:
    """Where are grafts lost between the bench and the sale?

    Parameters
    ----------
    stages : sequence of Stage
        Those of one level together, in the order to show; only recorded ones.
    season : str
        Blank when not recorded.
    name : str
        Short name of the chart.
    level : float
        Of the intervals.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        A row per level and in it a line per stage: dot with interval, a shape for each
        stage; numbers as given, none computed.
    """
    rows = {key: list(group) for key, group in groupby(stages, key=lambda stage: stage.level)}
    total = _GAP + sum(_LINE * (len(wrapped(key)) + len(own)) + _GAP for key, own in rows.items())
    from takestats.charts.short_text import short_text

    axis = ShareAxis(left=_LEFT, right=_RIGHT, low=axis_floor([stage.low for stage in stages]))
    with house_style():
        figure, axes = inch_axes(total)
        axes.set_xlim(0.0, 1.0)
        across = [axis.place(value) for value in axis.marks]
        axes.set_xticks(across, [axis_percent(value) for value in axis.marks])
        axes.set_xlabel(AXIS_STAGES, fontsize=SMALL_SIZE, labelpad=3, x=(_LEFT + _RIGHT) / 2)
        axes.spines["bottom"].set_bounds(_LEFT, _RIGHT)
        y = total - _GAP / 2
        for key, own in rows.items():
            for line in wrapped(key):
                y -= _LINE
                short_text(axes, 0.0, y, line, fontsize=NAME_SIZE, color=INK)
            top = y - 0.04
            for stage in own:
                y -= _LINE
                middle = y + 0.04
                ends = [axis.place(stage.low), axis.place(stage.high)]
                short_text(axes, 0.0, y, stage.stage, fontsize=_SIZE, color=LINE)
                axes.plot(ends, [middle, middle], color=LINE, lw=1.6, solid_capstyle="butt")
                axes.plot(
                    [axis.place(stage.share)],
                    [middle],
                    marker=_SHAPES[stage.stage],
                    color=INK,
                    markersize=5.5,
                    zorder=4,
                )
                said = take_value(stage.share, stage.low, stage.high)
                short_text(axes, _RIGHT + 0.025, y, said, fontsize=_SIZE, color=INK)
                axes.text(1.0, y, counted_value(stage), fontsize=_SIZE, color=LINE, ha="right")
            for place in across:
                axes.plot([place, place], [y - 0.02, top], color=PALE, lw=0.6, zorder=0)
            y -= _GAP
    shown = [stage for stage in _SHAPES if any(item.stage == stage for item in stages)]
    return Chart(
        name=name,
        figure=figure,
        title=f"From graft to saleable plant, season {season}"
        if season
        else "From graft to saleable plant",
        sentence=f"{marker} {stages_sentence(stages, season)}".strip(),
        key=stages_key(shown, level),
        spoken=stages_spoken(stages),
    )
