"""Which trays are worth a look, and what are these trays too few to say?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.charts import Take, take_value
from takestats.wording.numbers import (
    count_of,
    listing,
    percent,
    percent_number,
    percent_range,
    whole,
)
from takestats.wording.said import factor_words

MOST_TRAYS_NAMED = 6
MOST_LEVELS_NAMED = 4
MOST_UNSEEN = 3
NO_TRAY_STANDS_OUT = "No tray stands far from its group."
TOO_FEW_TO_STAND_OUT = "Too few trays in a group for one of them to stand out."


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
    'Only one tray of saddle: one tray cannot show how trays differ, so its limits are assumed.'
    """
    if not levels:
        return None
    shown = list(levels[:MOST_LEVELS_NAMED])
    if len(levels) > len(shown):
        shown.append(f"{len(levels) - len(shown)} more in the tables")
    return (
        f"Only one tray of {listing(shown, 'or')}: one tray cannot show how trays differ, so its "
        "limits are assumed."
    )


def one_tray_each_line(factors: Sequence[str]) -> str | None:
    """Say that every level of a factor rests on one tray.

    Examples
    --------
    >>> one_tray_each_line(["method"])[:64]
    'Each method has one tray: one tray cannot show how trays of one '
    """
    if not factors:
        return None
    names = listing([factor_words(factor) for factor in factors])
    of_one = listing([factor_words(factor) for factor in factors], "or")
    return (
        f"Each {names} has one tray: one tray cannot show how trays of one {of_one} differ. What "
        f"looks like the {of_one} can be the tray, and the limits rest on an assumed range."
    )


def all_in_one_tray_line() -> str:
    """Say that the season stands in one tray."""
    return (
        "All grafts stood in one tray: one tray cannot show how trays differ, so the limits rest "
        "on an assumed range."
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
        f"{t.name} ({percent_range(t.low, t.high)}, {count_of(t.trays, 'tray')})"
        for t in takes[:MOST_LEVELS_NAMED]
    ]
    rest = len(takes) - len(said)
    if rest:
        said.append(f"{rest} more in the table")
    return f"Too few trays to say much about the take of {listing(said)}."


def unseen_failure_line(levels: Sequence[tuple[str, int]], factor: str) -> str | None:
    """Say what could not have shown: the rule of three (Hanley & Lippman-Hand 1983, JAMA 249:1743).

    Parameters
    ----------
    levels : sequence of (level, trays)
        Levels of which no tray took under half.
    factor : str
        Whose levels they are.

    Examples
    --------
    >>> unseen_failure_line([("cleft", 12)], "method")
    'No tray took under half: 12 trays of cleft. Even so, up to 3 in 12 such trays could.'
    """
    shown = [(level, trays) for level, trays in levels if trays > 3]
    if not shown:
        return None
    if len(shown) > MOST_UNSEEN:
        fewest = min(trays for _, trays in shown)
        return (
            f"No tray took under half in {len(shown)} levels of {factor_words(factor)}. Even so, "
            f"up to 3 in {fewest} such trays could, where trays are fewest."
        )
    named = listing([f"{trays} trays of {level}" for level, trays in shown])
    sizes = sorted({trays for _, trays in shown})
    could = listing([f"3 in {trays}" for trays in sizes], "or")
    return f"No tray took under half: {named}. Even so, up to {could} such trays could."


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
    return f"Below the floor of {percent(floor)}: {_low_takes(floor, takes)}." if takes else None


def pays_line(take: float, takes: Sequence[Take], assumed: bool, kept: float) -> str:
    """Name the combinations that take less than pays, or say that none does.

    Parameters
    ----------
    take : float
        The break-even take.
    takes : sequence of Take
        Those under it.
    assumed : bool
        Whether any cost was assumed.
    kept : float
        Share of the grafts that took which were fit for sale.

    Examples
    --------
    >>> pays_line(0.46, [], True, 0.9)
    'No combination takes less than the break-even take of 46 % (assumed costs; 90 of 100 that \
took were saleable).'
    """
    costs = "assumed costs" if assumed else "costs of the settings"
    limit = (
        f"the break-even take of {percent(take)} ({costs}; {percent_number(kept)} of 100 that took "
        "were saleable)"
        if take <= 1.0
        else f"what pays: no take does ({costs})"
    )
    if not takes:
        return f"No combination takes less than {limit}."
    return f"Under {limit}: {_low_takes(take, takes)}."


def _low_takes(floor: float, takes: Sequence[Take]) -> str:
    """Takes under a limit, and how sure that is."""
    said = [
        f"{take.name}, {take_value(take.rate, take.low, take.high)}, "
        f"{'surely below' if take.high < floor else 'perhaps'}"
        for take in takes[:MOST_LEVELS_NAMED]
    ]
    rest = len(takes) - len(said)
    return "; ".join([*said, f"{rest} more in the table"] if rest else said)
