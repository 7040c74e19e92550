"""What does the chart of plants to come say: its axis, its one sentence, its spoken form?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.numbers import count_of, whole
from takestats.wording.order_told import chance_words, some

AXIS_PLANTS = "plants to come, for every 100 wanted"


class Plants(NamedTuple):
    """Plants of one combination: wanted, and to come in a poor, a usual and a good season."""

    name: str
    wanted: float
    low: float
    expected: float
    high: float
    kind: str


def rest_words(assurance: float) -> str:
    """Say how many seasons are better than what is passed.

    Examples
    --------
    >>> rest_words(0.9), rest_words(0.995)
    ('10 seasons in 100', '0.5 seasons in 100')
    """
    return f"{100.0 * (1.0 - assurance):.3g} seasons in 100"


def plants_value(row: Plants) -> str:
    """Say the plants to come beside their dot.

    Examples
    --------
    >>> plants_value(Plants("A on B", 200, 200, 220.6, 240, "saleable"))
    '221 (200 to 240)'
    """
    return f"{some(row.expected)} ({some(row.low)} to {some(row.high)})"


def wanted_value(row: Plants) -> str:
    """Say the plants wanted, below their name.

    Examples
    --------
    >>> wanted_value(Plants("A on B", 200, 200, 220.6, 240, "saleable"))
    '200 saleable plants wanted'
    >>> wanted_value(Plants("A on B", 1, 1, 1.2, 2, "taken"))
    '1 plant that takes wanted'
    """
    if row.kind == "saleable":
        return f"{count_of(row.wanted, 'saleable plant')} wanted"
    return f"{count_of(row.wanted, 'plant that takes', 'plants that take')} wanted"


def plants_sentence(rows: Sequence[Plants]) -> str:
    """Say what the chart shows, in one sentence."""
    most = max(rows, key=lambda row: row.expected / row.wanted)
    least = min(rows, key=lambda row: row.expected / row.wanted)
    if len(rows) == 1:
        return (
            f"{most.name}: {some(most.expected)} plants are to be expected for "
            f"{whole(most.wanted)} wanted."
        )
    return (
        "For every 100 plants wanted the order is expected to give from "
        f"{whole(100.0 * least.expected / least.wanted)} ({least.name}) to "
        f"{whole(100.0 * most.expected / most.wanted)} ({most.name})."
    )


def plants_key(assurance: float, *, typed: bool, recorded: bool) -> str:
    """Say how the chart is read."""
    said = []
    if recorded:
        said.append(
            "Dot: the average of new seasons. Line: from what is reached in "
            f"{chance_words(assurance)} to what is passed in {rest_words(assurance)}."
        )
    if typed:
        said.append(
            "Where takes were typed: dot at the usual take, line from the poor to the good one."
        )
    return " ".join([*said, "The upright line marks the plants wanted."])


def plants_spoken(rows: Sequence[Plants]) -> str:
    """Every number of the chart in words."""
    return " ".join(f"{row.name}: {wanted_value(row)}; {plants_value(row)}." for row in rows)
