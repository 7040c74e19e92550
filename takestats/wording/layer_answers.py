"""What do a layer's units say: how much they differ, and what they cannot tell?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.layered import unit_words
from takestats.wording.numbers import count_of, level_text, level_words, listing
from takestats.wording.said import factor_words, opened

FEWEST_UNITS = 3
FEW_UNITS = 5


def units_words(column: str) -> str:
    """What the levels of a layer are called, several of them.

    Examples
    --------
    >>> units_words("graft_date"), units_words("block")
    ('days', 'blocks')
    """
    return count_of(2, unit_words(column)).removeprefix("2 ")


def deviation_words(value: float) -> str:
    """A standard deviation in log odds.

    Examples
    --------
    >>> deviation_words(0.4567), deviation_words(0.001)
    ('0.46', 'under 0.01')
    """
    return "under 0.01" if value < 0.01 else f"{value:.2f}"


def spread_value(row: Mapping[str, Any]) -> str:
    """A spread with its limits, in log odds.

    Examples
    --------
    >>> spread_value({"standard_deviation": 0.31, "low": 0.002, "high": 0.9})
    '0.31 (under 0.01 to 0.90)'
    """
    middle, low, high = (deviation_words(row[x]) for x in ("standard_deviation", "low", "high"))
    return f"{middle} ({low} to {high})"


def spread_what(what: str) -> str:
    """Whose spread it is.

    Examples
    --------
    >>> spread_what("graft_date"), spread_what("row")
    ('from day to day', 'from row to row of one tray')
    """
    if what == "row":
        return "from row to row of one tray"
    unit = unit_words(what)
    return f"from {unit} to {unit}"


def spread_sentence(row: Mapping[str, Any], level: float) -> str:
    """Say how much the units of a layer differ.

    Examples
    --------
    >>> row = {"what": "block", "standard_deviation": 0.31, "low": 0.002, "high": 0.9}
    >>> spread_sentence(row, 0.95)
    'Spread from block to block: standard deviation 0.31 in log odds (95 % confidence interval \
under 0.01 to 0.90).'
    """
    middle, low, high = (deviation_words(row[x]) for x in ("standard_deviation", "low", "high"))
    return (
        f"Spread {spread_what(str(row['what']))}: standard deviation {middle} in log odds "
        f"({level_words(level)} {low} to {high})."
    )


def spread_note(column: str, units: int) -> str:
    """Say what the spread of a layer rests on.

    Examples
    --------
    >>> spread_note("block", 4)
    '4 blocks; so few rest on an assumed range of their spread.'
    """
    counted = count_of(units, unit_words(column))
    return (
        f"{counted}; so few rest on an assumed range of their spread."
        if units < FEW_UNITS
        else f"{counted} behind the spread."
    )


def whole_units_line(factor: str, counts: Sequence[tuple[str, int]], column: str) -> str:
    """Say for the bench that a treatment was given to whole blocks or days.

    Examples
    --------
    >>> whole_units_line("method", [("cleft", 2), ("side veneer", 3)], "graft_date")
    'Method was given to whole days (2 days of cleft and 3 days of side veneer): these days cannot \
tell method from the day.'
    >>> whole_units_line("method", [("cleft", 3), ("side veneer", 4)], "block")
    'Method was given to whole blocks (3 blocks of cleft and 4 blocks of side veneer): its limits \
count blocks, not trays.'
    """
    unit, units = unit_words(column), units_words(column)
    held = listing([f"{count_of(n, unit)} of {level_text(level)}" for level, n in counts])
    name = factor_words(factor)
    ends = (
        f"these {units} cannot tell {name} from the {unit}"
        if min(n for _, n in counts) < FEWEST_UNITS
        else f"its limits count {units}, not trays"
    )
    return f"{opened(name)} was given to whole {units} ({held}): {ends}."


def layer_line(column: str, units: int) -> str:
    """Say for the statistician which layer stands above the trays.

    Examples
    --------
    >>> layer_line("block", 10)
    'Above the trays stand 10 blocks: trays of one block share its effect.'
    """
    unit = unit_words(column)
    return f"Above the trays stand {count_of(units, unit)}: trays of one {unit} share its effect."


ROWS_LINE = (
    "Some trays hold several rows, two methods or two calipers: what the tray shares is taken out "
    "of their difference."
)
