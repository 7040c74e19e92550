"""What does a chart of a curve say: its key, its bar, its spoken form?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from takestats.wording.along import Place, Scale, Window
from takestats.wording.numbers import level_words, percent_interval, points

#: The same figures as in a chart, in the order its shapes come.
SHAPE_WORDS = (
    "circle",
    "square",
    "diamond",
    "triangle up",
    "triangle down",
    "pentagon",
    "hexagon",
    "octagon",
)


def curve_key(level: float, shapes: Sequence[str]) -> str:
    """Say how a chart of a curve is read.

    Examples
    --------
    >>> curve_key(0.95, [])
    'Line: the take; pale band: its 95 % confidence interval, place by place; small mark: one tray \
as it was counted; bar: where the take is within reach of its best, more likely than not, its \
thick part with nine chances in ten.'
    """
    marks = "small mark: one tray as it was counted"
    if shapes:
        names = [f"{SHAPE_WORDS[i % len(SHAPE_WORDS)]} {name}" for i, name in enumerate(shapes)]
        marks += f" ({', '.join(names)})"
    return (
        f"Line: the take; pale band: its {level_words(level)}, place by place; {marks}; bar: where "
        "the take is within reach of its best, more likely than not, its thick part with nine "
        "chances in ten."
    )


def bar_words(scale: Scale, window: Window, within: float) -> str:
    """Say the bar of a chart.

    Examples
    --------
    >>> bar_words(Scale("understock_caliper_mm"), Window(8.5, 7.5, 9.6, 8.0, 9.1, 6.0, 11.0), 0.05)
    'within 5 points of the best: 7.5 to 9.6 mm'
    """
    if math.isnan(window.low):
        return f"where the take is within {points(within)} of the best, these trays cannot say"
    return f"within {points(within)} of the best: {scale.reach(window.low, window.high, 'to')}"


def curve_spoken(scale: Scale, places: Sequence[Place], who: str = "", level: float = 0.95) -> str:
    """Say a curve at some places to somebody who cannot see it.

    Examples
    --------
    >>> curve_spoken(Scale("understock_caliper_mm"), [Place(8.5, 0.912, 0.871, 0.94)])
    'At 8.5 mm: 91 % (95 % confidence interval 87 to 94).'
    """
    opening = f"{who}, at" if who else "At"
    return " ".join(
        f"{opening} {scale.place(p.at)}: {percent_interval(p.take, p.low, p.high, level)}."
        for p in places
    )
