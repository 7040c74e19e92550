"""What do these trays say of two levels, and why is something not compared?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.numbers import (
    count_of,
    level_words,
    listing,
    percent,
    points,
    points_number,
    whole,
)
from takestats.wording.said import factor_words, opened

WIDE = 0.30
MORE_GRAFTS = "More grafts per tray will not help much, because grafts of a tray share its fate."


class Difference(NamedTuple):
    """A minus B of one factor, as the bench reads it (proportions)."""

    factor: str
    level_a: str
    level_b: str
    difference: float
    low: float
    high: float
    trays_a: float
    trays_b: float
    grafts_a: float = math.nan
    grafts_b: float = math.nan


def difference_line(gap: Difference, over: str = "", level: float = 0.95) -> str:
    """Say a difference in points, the better side first.

    Parameters
    ----------
    gap : Difference
    over : str
        What it was averaged over, from :func:`averaged_words`; blank for nothing.
    level : float
        Of the interval.

    Examples
    --------
    >>> difference_line(Difference("method", "cleft", "whip", -.06, -.12, -.01, 9, 9))
    'Method: whip took 6 points more than cleft (95 % confidence interval 1 to 12 points more; \
9 trays against 9).'
    """
    turned = gap.difference < 0.0
    upper, lower = (gap.level_b, gap.level_a) if turned else (gap.level_a, gap.level_b)
    behind = _behind(gap, turned=turned)
    size = -gap.difference if turned else gap.difference
    low, high = (-gap.high, -gap.low) if turned else (gap.low, gap.high)
    opening = f"{opened(factor_words(gap.factor))}: "
    interval = level_words(level)
    if low > 0.0:
        limits = f"{interval} {points_number(low)} to {points_number(high)} points more{behind}"
        if high - low > WIDE:
            return (
                f"{opening}{upper} took better than {lower}; by how much is not known to within "
                f"{points(high - low)} ({limits}){over}."
            )
        return f"{opening}{upper} took {points(size)} more than {lower} ({limits}){over}."
    limits = f"{interval} {_side(low)} to {_side(high)}{behind}"
    if high - low > WIDE:
        return (
            f"{opening}{upper} and {lower}, this trial cannot tell them apart; more trays are "
            f"needed ({upper} took {points(size)} more, {limits}){over}."
        )
    return (
        f"{opening}{upper} and {lower}, no clear difference; {upper} took {points(size)} more "
        f"({limits}){over}."
    )


def unclear_lines(gaps: Sequence[Difference], level: float = 0.95) -> list[str]:
    """Say in one sentence which differences are not clear, though known to within 30 points.

    Examples
    --------
    >>> unclear_lines([Difference("method", "cleft", "whip", -.02, -.08, .04, 9, 8)])
    ['No clear difference (95 % confidence intervals in brackets): method, whip 2 points more \
than cleft (4 points less to 8 points more; 8 trays against 9).']
    """
    if not gaps:
        return []
    said = []
    for gap in gaps:
        turned = gap.difference < 0.0
        upper, lower = (gap.level_b, gap.level_a) if turned else (gap.level_a, gap.level_b)
        low, high = (-gap.high, -gap.low) if turned else (gap.low, gap.high)
        said.append(
            f"{factor_words(gap.factor)}, {upper} {points(abs(gap.difference))} more than {lower} "
            f"({_side(low)} to {_side(high)}{_behind(gap, turned=turned)})"
        )
    brackets = f"({level_words(level)}s in brackets)"
    return [f"No clear difference {brackets}: {'; '.join(said)}."]


def _behind(gap: Difference, *, turned: bool) -> str:
    """Trays and grafts of either side, the better one first; nothing where no trays are known."""
    pairs = ((gap.trays_a, gap.trays_b, "tray"), (gap.grafts_a, gap.grafts_b, "graft"))
    said = [
        f"{count_of(b if turned else a, kind)} against {whole(a if turned else b)}"
        for a, b, kind in pairs
        if not (math.isnan(a) or math.isnan(b))
    ]
    return f"; {', '.join(said)}" if said else ""


def cannot_tell_apart(gap: Difference) -> bool:
    """Whether the interval holds zero and is too wide to say anything.

    Examples
    --------
    >>> cannot_tell_apart(Difference("method", "cleft", "whip", 0.02, -0.2, 0.24, 4, 4))
    True
    """
    return gap.low <= 0.0 <= gap.high and gap.high - gap.low > WIDE


def averaged_words(averaged: Sequence[str]) -> str:
    """Say what a comparison was averaged over.

    Examples
    --------
    >>> averaged_words(["combination", "scion_wood"])
    ', at the same mix of combination and scion wood'
    """
    if not averaged:
        return ""
    names = listing([factor_words(name) for name in averaged])
    return f", at the same mix of {names}"


def like_with_like_line(factors: Sequence[str]) -> str:
    """Say once that several differences compare like with like.

    Examples
    --------
    >>> like_with_like_line(["method", "scion_wood"])
    'Each of these compares like with like: at the same mix of method and scion wood.'
    """
    names = listing([factor_words(name) for name in factors])
    return f"Each of these compares like with like: at the same mix of {names}."


def own_words(factor: str) -> str:
    """Say that a difference was looked at on its own.

    Examples
    --------
    >>> own_words("caliper_class")
    ', caliper class looked at on its own'
    """
    return f", {factor_words(factor)} looked at on its own"


def missing_matters_line(left_out: Difference, failed: Difference, taken: Difference) -> str:
    """Say what missing grafts could do to a difference.

    Examples
    --------
    >>> gap = Difference("method", "whip", "cleft", 0.06, 0.01, 0.12, 9, 9)
    >>> missing_matters_line(gap, gap._replace(difference=0.02), gap._replace(difference=0.1))
    'Missing grafts: whip minus cleft is 6 points, 2 points if all had failed, 10 if all had taken.'
    """
    return (
        f"Missing grafts: {left_out.level_a} minus {left_out.level_b} is "
        f"{points(left_out.difference)}, {points(failed.difference)} if all had failed, "
        f"{points_number(taken.difference)} if all had taken."
    )


def more_pairs_line(factor: str, pairs: int) -> str:
    """Say that not every pair stands on the sheet.

    Examples
    --------
    >>> more_pairs_line("method", 3)
    '3 more pairs of method are in the table of differences.'
    """
    verb = "is" if pairs == 1 else "are"
    return (
        f"{count_of(pairs, 'more pair')} of {factor_words(factor)} {verb} in the table of "
        f"differences."
    )


def only_level_line(factor: str, level: str) -> str:
    """Say that there is nothing to compare.

    Examples
    --------
    >>> only_level_line("method", "cleft")
    'Only one method is recorded (cleft), so methods cannot be compared.'
    """
    words = factor_words(factor)
    return f"Only one {words} is recorded ({level}), so {words}s cannot be compared."


def not_recorded_line(factor: str) -> str:
    """Say that a column is blank.

    Examples
    --------
    >>> not_recorded_line("method")
    'Take by method: not recorded.'
    """
    return f"Take by {factor_words(factor)}: not recorded."


def blank_reason(blank: float) -> str:
    """Say that a column has too many blanks to stand beside the others.

    Examples
    --------
    >>> blank_reason(0.31)
    '31 % of the trays have it blank'
    """
    return f"{percent(blank)} of the trays have it blank"


def dropped_line(factors: Sequence[str], reason: str, *, shown: bool = True) -> str:
    """Say why factors do not stand beside the others.

    Examples
    --------
    >>> dropped_line(["combination"], "method and combination cannot be told apart")
    'Combination is looked at on its own (method and combination cannot be told apart).'
    """
    names = opened(listing([factor_words(factor) for factor in factors]))
    verb, own = ("is", "its") if len(factors) == 1 else ("are", "their")
    if not shown:
        return f"{names} {verb} left out of the comparison ({reason.rstrip('.')})."
    return f"{names} {verb} looked at on {own} own ({reason.rstrip('.')})."


def more_together_line(number: int) -> str:
    """Point to what else was given together.

    Examples
    --------
    >>> more_together_line(1)
    '1 more case of this kind stands under "What was given together".'
    """
    verb = "stands" if number == 1 else "stand"
    return f'{count_of(number, "more case")} of this kind {verb} under "What was given together".'


def _side(difference: float) -> str:
    """Say a limit with its direction."""
    if difference < 0.0:
        return f"{points(-difference)} less"
    return f"{points(difference)} more" if difference > 0.0 else "no difference"
