"""What is said when wood, understock, days or the window cannot meet the targets?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from takestats.wording.numbers import count_of, level_text, listing, whole

_SHOWN = 5
"""Combinations or limits that are read aloud; the rest stand in the tables."""


def wood_words(wood: str) -> str:
    """Name pieces of a wood.

    Examples
    --------
    >>> wood_words("sub_terminal"), wood_words("not recorded")
    ('sub-terminal pieces', 'pieces (wood not recorded)')
    """
    if wood == "not recorded":
        return "pieces (wood not recorded)"
    return f"{level_text(wood)} pieces"


def piece_name(name: str, wood: str) -> str:
    """Name the pieces of a scion or a combination.

    Examples
    --------
    >>> piece_name("Acer rubrum 'Ember'", "terminal")
    "terminal pieces of Acer rubrum 'Ember'"
    """
    return f"{wood_words(wood)} of {name}"


def source_name(combination: str, wood: str, understock: str) -> str:
    """Name one way to make a combination."""
    return f"source {combination}, {level_text(wood)} wood, understock {understock}"


def stretch(first: str, last: str) -> str:
    """Name a stretch of weeks.

    Examples
    --------
    >>> stretch("week 1", "week 3"), stretch("week 1", "week 1")
    ('week 1 to week 3', 'week 1')
    """
    return first if first == last else f"{first} to {last}"


@dataclass(frozen=True, kw_only=True)
class Told:
    """What the sentences are made of; ``at_most`` only when the most plants are not proven."""

    wanted: int
    counted: float
    grafts: int
    weeks: int
    met: bool
    short: tuple[tuple[str, int, float, str], ...]
    lifted: tuple[Mapping[str, Any], ...]
    left: int
    at_most: float | None
    stopped: bool


def fitted_sentences(told: Told) -> tuple[str, ...]:
    """Read aloud what can be made, what is short and which limit would have to grow."""
    return tuple(_fitted(told))


def _fitted(told: Told) -> Iterator[str]:
    made = f"{count_of(told.grafts, 'graft')} in {count_of(told.weeks, 'week')}"
    if told.met:
        yield (
            f"All {count_of(told.wanted, 'plant')} wanted can be counted on within the limits, "
            f"with {made}."
        )
    else:
        yield (
            f"Of {count_of(told.wanted, 'plant')} wanted, {whole(_sure(told.counted))} can be "
            f"counted on within the limits, with {made}."
        )
        yield _short(told.short)
        yield from _alone(told)
        yield from _together(told)
    if told.at_most is not None and _sure(told.at_most) > _sure(told.counted):
        yield (
            "The search stopped at its limit before the best was proven: at most "
            f"{count_of(_sure(told.at_most), 'plant')} could be counted on."
        )
    elif told.stopped:
        yield (
            "The search stopped at its limit before all was proven: a plan with fewer grafts, or a "
            "limit that would have to grow less, may exist."
        )


def _short(short: Sequence[tuple[str, int, float, str]]) -> str:
    first = sorted(short, key=lambda one: -one[2])
    said = [
        f"{name} {whole(_up(missing))} of {whole(wanted)}"
        + (f" (no more {listing(limits.split(', '), 'or')})" if limits else "")
        for name, wanted, missing, limits in first[:_SHOWN]
    ]
    more = len(first) - _SHOWN
    if more > 0:
        said.append(f"{count_of(more, 'combination')} more in the table")
    return f"Short: {'; '.join(said)}."


def _alone(told: Told) -> Iterator[str]:
    rows = [row for row in told.lifted if row["alone"]]
    whole_rows = [row for row in rows if _sure(row["plants_gained"]) >= 1]
    if not whole_rows:
        yield "No one limit brings another whole plant by itself."
    else:
        said = [
            f"{_grown(row)} would bring "
            + ("all that is short" if row["meets_all"] else _plants(row["plants_gained"]))
            for row in whole_rows[:_SHOWN]
        ]
        more = len(whole_rows) - _SHOWN
        if more > 0:
            said.append(f"{count_of(more, 'limit')} more in the table")
        yield f"One limit at a time, all else as it is: {'; '.join(said)}."
    if told.left:
        yield (
            f"{count_of(told.left, 'further limit')} with nothing left over "
            f"{'was' if told.left == 1 else 'were'} not worked out; an estimate puts "
            f"{'it' if told.left == 1 else 'them'} behind these."
        )


def _together(told: Told) -> Iterator[str]:
    if any(row["alone"] and row["meets_all"] for row in told.lifted):
        return
    rows = sorted((row for row in told.lifted if not row["alone"]), key=lambda row: -row["more"])
    if not rows:
        return
    said = [_grown(row) for row in rows[:_SHOWN]]
    if len(rows) > _SHOWN:
        said.append(f"{count_of(len(rows) - _SHOWN, 'limit')} more in the table")
    yield f"To meet every target it takes together: {listing(said)}."


def _grown(row: Mapping[str, Any]) -> str:
    """Say how much more of a limit."""
    more, name = row["more"], row["name"]
    if row["kind"] == "wood":
        pieces = piece_name(name, row["wood"])
        return f"{whole(more)} more {pieces if more != 1 else pieces.replace('pieces', 'piece', 1)}"
    if row["kind"] == "understock":
        return f"{count_of(more, f'more understock {name}', f'more understocks {name}')}"
    if row["kind"] == "window":
        return f"{count_of(more, 'graft')} of {name} outside its window ({row['weeks']})"
    return f"{count_of(more, 'more graft')} ({row['weeks']})"


def _plants(gained: float) -> str:
    return count_of(_sure(gained), "plant")


def _sure(plants: float) -> int:
    return math.floor(plants + 1e-4)


def _up(plants: float) -> int:
    return math.ceil(plants - 1e-4)
