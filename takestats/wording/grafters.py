"""What is said of grafters: a spread, never a list and never a name."""

from __future__ import annotations

from takestats.wording.layer_answers import FEW_UNITS
from takestats.wording.numbers import level_words, percent, points, points_number

NO_RANK = "Grafters are adjusted for and never ranked: no take of a person stands on this page."


def spread_words(grafters: int, spread: float, low: float, high: float, level: float) -> str:
    """Say how much grafters differ.

    Examples
    --------
    >>> spread_words(6, 0.031, 0.004, 0.091, 0.95)
    'About two thirds of grafters lie within 3 points of the middle of all of them (95 % \
confidence interval 0.4 to 9 points), as far as 6 grafters can tell.'
    """
    few = "; so few rest on an assumed range" if grafters < FEW_UNITS else ""
    return (
        f"About two thirds of grafters lie within {points(spread)} of the middle of all of them "
        f"({level_words(level)} {points_number(low)} to {points(high)}), as far as {grafters} "
        f"grafters can tell{few}."
    )


def spread_note(take: float) -> str:
    """Say how the spread was put in points."""
    return (
        "Spread between grafters: one standard deviation in log odds either side of the middle, "
        f"in points at a take of {percent(take)}."
    )


def two_grafters_words(number: int) -> str:
    """Say that so few grafters have no spread.

    Examples
    --------
    >>> two_grafters_words(2)
    '2 grafters are too few to say how much grafters differ.'
    """
    return f"{number} grafters are too few to say how much grafters differ."


def grafters_refused(reason: str) -> str:
    """Say why grafters are not adjusted for.

    Examples
    --------
    >>> grafters_refused("its levels are those of method, one for one")
    'Grafters are not adjusted for: its levels are those of method, one for one.'
    """
    return f"Grafters are not adjusted for: {reason.rstrip('.')}."


ADJUSTED = (
    "The main difference again, with grafters as blocks in place of any other layer: trays of one "
    "grafter share the grafter's effect. If it moves by much from the one further up, grafter and "
    "treatment went together."
)
