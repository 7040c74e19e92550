"""Which trays are worth a look, and what are these trays too few to say?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.charts import Take, take_value
from takestats.wording.numbers import (
    count_of,
    listing,
    percent,
    percent_range,
    whole,
)

MOST_TRAYS_NAMED = 6
NO_TRAY_STANDS_OUT = "No tray stands far from its group."


class OddTray(NamedTuple):
    """A tray to look at (counts; expected take as a proportion)."""

    tray: str
    taken: float
    tried: float
    expected: float
    side: str


def odd_trays_line(trays: Sequence[OddTray]) -> str:
    """Name the trays to look at.

    Examples
    --------
    >>> odd_trays_line([OddTray("T012", 12, 40, 0.91, "low")])
    'Look at this tray: T012 (12 of 40 took, about 91 % expected).'
    """
    if not trays:
        return NO_TRAY_STANDS_OUT
    low = [tray for tray in trays if tray.side == "low"]
    high = [tray for tray in trays if tray.side != "low"]
    parts = []
    if low:
        parts.append(f"Look at {'this tray' if len(low) == 1 else 'these trays'}: {_named(low)}.")
    if high:
        parts.append(f"Better than {'its' if len(high) == 1 else 'their'} group: {_named(high)}.")
    return " ".join(parts)


def _named(trays: Sequence[OddTray]) -> str:
    shown = [
        f"{t.tray} ({whole(t.taken)} of {whole(t.tried)} took, about {percent(t.expected)} "
        f"expected)"
        for t in trays[:MOST_TRAYS_NAMED]
    ]
    rest = len(trays) - len(shown)
    return listing([*shown, f"{rest} more, listed below"] if rest else shown)


def one_tray_line(levels: Sequence[str]) -> str | None:
    """Say which levels rest on one tray.

    Examples
    --------
    >>> one_tray_line(["saddle"])
    'Only one tray of saddle: one tray cannot show how trays differ; its limits are assumed.'
    """
    if not levels:
        return None
    return (
        f"Only one tray of {listing(levels)}: one tray cannot show how trays differ; its limits "
        "are assumed."
    )


def too_few_line(takes: Sequence[Take]) -> str | None:
    """Say whose take these trays cannot pin down.

    Examples
    --------
    >>> too_few_line([Take("A on B", 0.8, 0.5, 0.95, 16, 20, 2)])
    'Too few trays to say much about the take of A on B (50 to 95 %, 2 trays).'
    """
    if not takes:
        return None
    said = [
        f"{t.name} ({percent_range(t.low, t.high)}, {count_of(t.trays, 'tray')})" for t in takes[:4]
    ]
    rest = len(takes) - len(said)
    if rest:
        said.append(f"{rest} more in the table")
    return f"Too few trays to say much about the take of {listing(said)}."


MORE_GRAFTS = (
    "More trays would narrow this; more grafts per tray will not help much, because grafts of a "
    "tray share its fate."
)


def unseen_failure_line(levels: Sequence[tuple[str, int]]) -> str | None:
    """Say what could not have shown: the rule of three (Hanley & Lippman-Hand 1983, JAMA 249:1743).

    Parameters
    ----------
    levels : sequence of (level, trays)
        Levels of which no tray took under half.

    Examples
    --------
    >>> unseen_failure_line([("cleft", 12)])
    'No tray of cleft failed badly (took under half); up to 3 in 12 could, and not have shown.'
    """
    shown = [(level, trays) for level, trays in levels if trays > 3]
    if not shown:
        return None
    if len(shown) == 1:
        level, trays = shown[0]
        return (
            f"No tray of {level} failed badly (took under half); up to 3 in {trays} could, and not "
            "have shown."
        )
    if len(shown) > 3:
        return (
            f"No tray of these {len(shown)} failed badly (took under half); up to 3 trays of each "
            "could, and not have shown."
        )
    could = listing([f"3 in {trays} of {level}" for level, trays in shown])
    names = listing([level for level, _ in shown], "or")
    return (
        f"No tray of {names} failed badly (took under half); up to {could} could, and not have "
        "shown."
    )


def uneven_line(more: str, less: str) -> str:
    """Say that the trays of one level differ more than those of another.

    Examples
    --------
    >>> uneven_line("cleft", "side veneer")
    'cleft trays are more uneven than side veneer trays.'
    """
    return f"{more} trays are more uneven than {less} trays."


def floor_line(floor: float, takes: Sequence[Take]) -> str | None:
    """Name what took less than the lowest take worth having.

    Examples
    --------
    >>> floor_line(0.75, [Take("A on B", 0.61, 0.5, 0.7, 61, 100, 5)])
    'Below the floor of 75 %: A on B, 61 % (50 to 70), surely below.'
    """
    if not takes:
        return None
    said = [
        f"{take.name}, {take_value(take.rate, take.low, take.high)}, "
        f"{'surely below' if take.high < floor else 'perhaps'}"
        for take in takes
    ]
    return f"Below the floor of {percent(floor)}: {'; '.join(said)}."
