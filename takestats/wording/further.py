"""What is said of factors beyond those of the page, and of how each was given?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.along_told import shared_words
from takestats.wording.layered import unit_words
from takestats.wording.numbers import level_text, listing
from takestats.wording.said import LOT_UNITS, factor_words, opened

NOT_COMPARED_HEADING = "Further factors that are not compared"
GRAFTERS_HEADING = "Grafters as blocks"
GIVEN_CAPTION = "How each factor was given"
GIVEN_HEADER = ("factor", "how it was given", "stands wholly together with")
BY_LOT = "by lot"
RECORDED = "recorded only"
NOTHING = "nothing that is recorded"
MOST_OTHERS = 4


def one_level_words(factor: str, level: str) -> str:
    """Say that a factor has one level.

    Examples
    --------
    >>> one_level_words("relation", "same genus")
    'Relation: one level alone is recorded (same genus), so there is nothing to compare.'
    """
    return (
        f"{opened(factor_words(factor))}: one level alone is recorded ({level_text(level)}), so "
        "there is nothing to compare."
    )


def too_many_levels_words(factor: str, levels: int) -> str:
    """Say that a factor has many levels.

    Examples
    --------
    >>> too_many_levels_words("union_height_mm", 14)
    'Union height: 14 different ones are too many to compare; where they are numbers, name union \
height under curves in the settings, else name it under factors.'
    """
    name = factor_words(factor)
    return (
        f"{opened(name)}: {levels} different ones are too many to compare; where they are numbers, "
        f"name {name} under curves in the settings, else name it under factors."
    )


def not_recorded_words(factors: Sequence[str]) -> str:
    """Say what is not recorded.

    Examples
    --------
    >>> not_recorded_words(["sealed", "healing"])
    'Not recorded: sealed and healing.'
    """
    return f"Not recorded: {listing([factor_words(name) for name in factors])}."


def beside_words(
    factor: str, others: Sequence[str], layer: str, *, trays_recorded: bool = True
) -> str:
    """Say what a factor was compared beside.

    Examples
    --------
    >>> beside_words("relation", ["method"], "combination")
    'Relation is compared at the same mix of method; trays of one combination share its effect.'
    >>> beside_words("sealed", [], "")
    'Sealed is looked at on its own; trays are counted as independent of one another.'
    """
    mix = "is looked at on its own"
    if others:
        mix = f"is compared at the same mix of {listing([factor_words(name) for name in others])}"
    share = shared_words(unit_words(layer) if layer else "", trays_recorded=trays_recorded)
    return f"{opened(factor_words(factor))} {mix}; {share}."


def recorded_words(factor: str) -> str:
    """Say that a factor was not given by lot.

    Examples
    --------
    >>> recorded_words("sealed")
    'Sealed was recorded, not given by lot: seen together, not shown to cause.'
    """
    return (
        f"{opened(factor_words(factor))} was recorded, not given by lot: seen together, not shown "
        "to cause."
    )


def given_words(by_lot: Sequence[str], recorded: Sequence[str]) -> str:
    """Tell trials from plain records in one sentence.

    Examples
    --------
    >>> given_words(["method"], ["combination", "sealed"])
    'Given by lot, as the settings say: method. Recorded only: combination and sealed; what \
these show was seen together, not shown to cause.'
    >>> given_words([], ["method"])
    'Recorded only: method; what this shows was seen together, not shown to cause.'
    """
    parts = []
    if by_lot:
        lot = listing([factor_words(name) for name in by_lot])
        parts.append(f"Given by lot, as the settings say: {lot}.")
    if recorded:
        show = "this shows" if len(recorded) == 1 else "these show"
        names = listing([factor_words(name) for name in recorded])
        parts.append(f"Recorded only: {names}; what {show} was seen together, not shown to cause.")
    return " ".join(parts)


def others_words(others: Sequence[tuple[str, int]], levels: int) -> str:
    """Say what a factor's levels stand wholly together with.

    Parameters
    ----------
    others : sequence of (column, levels that stand wholly within one of its levels)
    levels : int
        Of the factor.

    Examples
    --------
    >>> others_words([("grafter", 2), ("block", 1)], 2)
    'grafter (both levels), block (1 of 2 levels)'
    >>> others_words([], 2)
    'nothing that is recorded'
    """
    if not others:
        return NOTHING
    every = "both levels" if levels == 2 else f"all {levels} levels"
    said = [
        f"{factor_words(name)} ({every if n == levels else f'{n} of {levels} levels'})"
        for name, n in others[:MOST_OTHERS]
    ]
    rest = len(others) - MOST_OTHERS
    return ", ".join([*said, f"{rest} more"] if rest > 0 else said)


def by_lot_words(how: str) -> str:
    """Say to what a factor was given by lot.

    Examples
    --------
    >>> by_lot_words("tray"), by_lot_words("graft")
    ('by lot, to whole trays', 'by lot, to single grafts')
    """
    return f"{BY_LOT}, to {LOT_UNITS.get(how, LOT_UNITS['graft'])}"
