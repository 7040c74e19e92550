"""What does a chart say in words: its labels, its one sentence, its spoken form?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.numbers import (
    NOT_RECORDED,
    count_of,
    level_words,
    odds,
    percent,
    percent_number,
    percent_range,
    points_number,
    whole,
)

AXIS_TAKE = "take, in percent of the grafts counted"
AXIS_DIFFERENCE = "difference in take, in points"


class Take(NamedTuple):
    """One level's take with what stands behind it (proportions, counts)."""

    name: str
    rate: float
    low: float
    high: float
    taken: float
    tried: float
    trays: float


class Gap(NamedTuple):
    """One difference of two levels, A minus B (proportions)."""

    level_a: str
    level_b: str
    difference: float
    low: float
    high: float
    raw: float
    raw_low: float
    raw_high: float


def take_value(rate: float, low: float, high: float) -> str:
    """Say a take beside its dot.

    Examples
    --------
    >>> take_value(0.912, 0.871, 0.94)
    '91 % (87 to 94)'
    """
    return f"{percent(rate)} ({percent_number(low)} to {percent_number(high)})"


def counts_value(taken: float, tried: float, trays: float) -> str:
    """Say the counts behind a dot.

    Examples
    --------
    >>> counts_value(212, 230, 9)
    '212 of 230 took, 9 trays'
    """
    counted = f"{whole(taken)} of {whole(tried)} took"
    return f"{counted}, {count_of(trays, 'tray')}" if trays == trays else counted


def both_counts(first: float, second: float) -> str:
    """Say two counts side by side.

    Examples
    --------
    >>> both_counts(9, 10), both_counts(float("nan"), float("nan"))
    ('9 and 10', 'not recorded')
    """
    if math.isnan(first) and math.isnan(second):
        return NOT_RECORDED
    return f"{whole(first)} and {whole(second)}"


def difference_value(difference: float, low: float, high: float) -> str:
    """Say a difference beside its dot.

    Examples
    --------
    >>> difference_value(0.062, 0.013, 0.12)
    '6 points (1 to 12)'
    """
    said = points_number(difference)
    unit = "point" if said in ("1", "-1") else "points"
    return f"{said} {unit} ({points_number(low)} to {points_number(high)})"


def ratio_words(ratio: float, low: float, high: float) -> str:
    """Say an odds ratio with its limits; one side may be open.

    Examples
    --------
    >>> ratio_words(2.4, 1.1, float("inf")), ratio_words(0.42, 0.0, 0.9)
    ('2.4 (1.1 to no upper bound)', '0.42 (no lower bound to 0.9)')
    """
    lower = "no lower bound" if low == 0.0 else odds(low)
    return f"{odds(ratio)} ({lower} to {odds(high)})"


def axis_percent(share: float) -> str:
    """Say a place on the axis of takes.

    Examples
    --------
    >>> axis_percent(0.8)
    '80 %'
    """
    return f"{100.0 * share:.0f} %"


def axis_points(difference: float) -> str:
    """Say a place on the axis of differences.

    Examples
    --------
    >>> axis_points(-0.1), axis_points(0.0)
    ('-10', '0')
    """
    return f"{round(100.0 * difference):d}"


def takes_sentence(what: str, takes: Sequence[Take], level: float = 0.95) -> str:
    """Say what a chart of takes shows.

    Examples
    --------
    >>> takes_sentence("method", [Take("cleft", 0.84, 0.76, 0.9, 84, 100, 5)])
    'Take by method: cleft 84 % (76 to 90).'
    """
    ordered = sorted(takes, key=lambda take: take.rate, reverse=True)
    if len(ordered) <= 3:
        said = ", ".join(f"{t.name} {take_value(t.rate, t.low, t.high)}" for t in ordered)
        return f"Take by {what}: {said}."
    top, bottom = ordered[0], ordered[-1]
    return (
        f"Take by {what}, {len(ordered)} of them: from "
        f"{take_value(bottom.rate, bottom.low, bottom.high)} for {bottom.name} to "
        f"{take_value(top.rate, top.low, top.high)} for {top.name}."
    )


def takes_key(level: float, ticks: bool) -> str:
    """Say how a chart of takes is read."""
    key = f"Shape: the take; line: its {level_words(level)}"
    return f"{key}; small tick: one tray as it was counted." if ticks else f"{key}."


def gaps_sentence(gaps: Sequence[Gap]) -> str:
    """Say what a chart of differences shows.

    Examples
    --------
    >>> gaps_sentence([Gap("side veneer", "cleft", 0.06, 0.01, 0.12, 0.05, -0.01, 0.11)])
    'The line of side veneer minus cleft lies wholly above zero.'
    >>> gaps_sentence([Gap("a", "c", 0.06, -0.1, 0.1, 0.05, -0.1, 0.1)] * 3)
    'All 3 lines cross zero.'
    """
    above = [gap for gap in gaps if gap.low > 0.0]
    below = [gap for gap in gaps if gap.high < 0.0]
    if len(gaps) == 1:
        gap = gaps[0]
        place = "crosses zero"
        if above:
            place = "lies wholly above zero"
        elif below:
            place = "lies wholly below zero"
        return f"The line of {gap.level_a} minus {gap.level_b} {place}."
    clear = len(above) + len(below)
    if clear in (0, len(gaps)):
        lines = "Both lines" if len(gaps) == 2 else f"All {len(gaps)} lines"
        return f"{lines} {'keep clear of' if clear else 'cross'} zero."
    return (
        f"Of {len(gaps)} differences, {clear} {'has' if clear == 1 else 'have'} a line that keeps "
        f"clear of zero; {len(gaps) - clear} {'crosses' if len(gaps) - clear == 1 else 'cross'} it."
    )


def gaps_key(level: float, raw: bool) -> str:
    """Say how a chart of differences is read."""
    key = f"Filled shape and thick line: the difference with its {level_words(level)}"
    if not raw:
        return f"{key}; upright line: no difference."
    return (
        f"{key}; open shape and thin line: the raw difference with its quick limits; "
        "upright line: no difference."
    )


def history_sentence(what: str, takes: Sequence[tuple[str, Take]]) -> str:
    """Say what the chart of earlier seasons shows.

    Parameters
    ----------
    what : str
        What the seasons are shown for, as "method".
    takes : sequence of (season, Take)
    """
    seasons = sorted({season for season, _ in takes})
    rates = [take.rate for _, take in takes]
    return (
        f"Raw takes by {what} of {count_of(len(seasons), 'season')}, each season on its own: "
        f"between {percent_range(min(rates), max(rates)).replace(' to ', ' and ')}."
    )


HISTORY_KEY = (
    "Open shape: the take as counted; line: its quick limits. History, not a test: the seasons are "
    "not added together."
)


def takes_spoken(takes: Sequence[Take]) -> str:
    """Say a chart of takes to somebody who cannot see it.

    Examples
    --------
    >>> takes_spoken([Take("cleft", 0.84, 0.76, 0.9, 84, 100, 5)])
    'cleft: 84 % (76 to 90), 84 of 100 took, 5 trays.'
    """
    return " ".join(
        f"{t.name}: {take_value(t.rate, t.low, t.high)}, {counts_value(t.taken, t.tried, t.trays)}."
        for t in takes
    )


def gaps_spoken(gaps: Sequence[Gap]) -> str:
    """Say a chart of differences to somebody who cannot see it."""
    return " ".join(
        f"{gap.level_a} minus {gap.level_b}: {difference_value(gap.difference, gap.low, gap.high)}."
        for gap in gaps
    )
