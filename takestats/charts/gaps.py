"""How far apart are two levels, in points?"""

from __future__ import annotations

import math
from collections.abc import Sequence

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
    AXIS_DIFFERENCE,
    Gap,
    axis_points,
    difference_value,
    gaps_key,
    gaps_sentence,
    gaps_spoken,
)

_NAME_LINE = 0.175
_STRIP = 0.36
_GAP = 0.12
_BELOW_NAME = 0.05


def gaps_chart(
    gaps: Sequence[Gap],
    what: str,
    *,
    name: str,
    level: float = 0.95,
    marker: str = "",
) -> Chart:
    """How far apart are two levels, in points?

    Parameters
    ----------
    gaps : sequence of Gap
        One per pair, A minus B, as in the result's table; raw may be nan.
    what : str
        What the levels are, as "method".
    name : str
        Short name of the chart.
    level : float
        Of the intervals.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        Filled dot with interval, the raw difference open below it, and a line at zero.
    """
    labels = [wrapped(f"{gap.level_a} minus {gap.level_b}", 36) for gap in gaps]
    heights = [_NAME_LINE * len(lines) + _STRIP + _GAP for lines in labels]
    total = sum(heights) + _GAP
    has_raw = any(not math.isnan(gap.raw) for gap in gaps)
    left, right, places = _axis(gaps)
    with house_style():
        figure, axes = inch_axes(total)
        axes.set_xlim(left, right)
        axes.set_xticks(places, [axis_points(place) for place in places])
        axes.set_xlabel(AXIS_DIFFERENCE, fontsize=SMALL_SIZE, labelpad=3)
        for place in places:
            axes.axvline(place, color=PALE, linewidth=0.6, zorder=0)
        across = axes.get_yaxis_transform()
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
        top = total - _GAP / 2
        for index, (gap, lines, height) in enumerate(zip(gaps, labels, heights, strict=True)):
            y = top
            for line in lines:
                y -= _NAME_LINE
                axes.text(0.0, y, line, transform=across, fontsize=NAME_SIZE, bbox=paper, zorder=3)
            axes.text(
                1.0,
                y,
                difference_value(gap.difference, gap.low, gap.high),
                transform=across,
                fontsize=NAME_SIZE,
                ha="right",
                bbox=paper,
                zorder=3,
            )
            # The zero line stands beside the limits only, so that it never cuts a name.
            foot = 0.0 if index == len(gaps) - 1 else top - height + _GAP / 2
            axes.plot([0.0, 0.0], [foot, y - _BELOW_NAME], color=INK, linewidth=1.1, zorder=1)
            y -= 0.13
            axes.plot([gap.low, gap.high], [y, y], color=LINE, lw=2.2, solid_capstyle="butt")
            axes.plot(
                [gap.difference], [y], marker=shape(index), color=INK, markersize=6.5, zorder=4
            )
            if not math.isnan(gap.raw):
                y -= 0.15
                axes.plot([gap.raw_low, gap.raw_high], [y, y], color=SOFT, lw=0.9)
                axes.plot(
                    [gap.raw],
                    [y],
                    marker=shape(index),
                    markerfacecolor="white",
                    markeredgecolor=LINE,
                    markersize=5.0,
                    zorder=4,
                )
            top -= height
    return Chart(
        name=name,
        figure=figure,
        title=f"Differences between levels of {what}",
        sentence=f"{marker} {gaps_sentence(gaps)}".strip(),
        key=gaps_key(level, has_raw),
        spoken=gaps_spoken(gaps),
    )


def _axis(gaps: Sequence[Gap]) -> tuple[float, float, list[float]]:
    ends = [0.0]
    for gap in gaps:
        ends.extend([gap.low, gap.high])
        ends.extend(v for v in (gap.raw, gap.raw_low, gap.raw_high) if not math.isnan(v))
    spread = max(ends) - min(ends)
    step = next((s for s in (0.02, 0.05, 0.1, 0.2) if spread / s <= 7.0), 0.4)
    first = math.floor(min(ends) / step + 1e-9)
    last = math.ceil(max(ends) / step - 1e-9)
    pad = (last - first) * step * 0.015
    return first * step - pad, last * step + pad, [k * step for k in range(first, last + 1)]
