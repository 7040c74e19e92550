"""What is said of trays in their places, and of two trays treated alike?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import NOT_RECORDED, count_of, listing, percent_number, points, whole
from takestats.wording.said import opened

NO_PLACES = "Where the trays stood: not recorded."
NO_PAIRS = "How far two trays treated alike may part: not recorded, because no trays are."
PLACES_NOTE = (
    "A place is read where the position is a number, or a letter and a number; anything else, and "
    "a place that two trays claim, stays as it was written."
)
PAIRS_NOTE = (
    "Two trays of the same treatment, as the model expects them, each of many grafts: the luck of "
    "a few grafts comes on top, and two trays of one block are nearer to each other."
)
MAP_HEADING = "Trays on their benches"
MAP_KEY = (
    "Each box is a tray with what took out of what was counted; a row of more than six goes on "
    "below. Heavy outline and the word low or high: far from its group, further than trays usually "
    "are. A place is not a cause: trays of one treatment may have stood together."
)
OTHER_TRAYS = "place not read"
PAIRS_TABLE = "two trays treated alike, as the model expects them"
PLACES_TABLE = "each tray where it stood"
BENCHES_CAPTION = "Raw counts by bench"
BENCHES_HEADER = ("bench", "trays", "took", "far from their group")


def pairs_line(poorer: float, better: float, wide: float) -> str:
    """Say how far two trays treated alike may part.

    Examples
    --------
    >>> pairs_line(0.78, 0.95, 0.31).split("; ")  # doctest: +NORMALIZE_WHITESPACE
    ['Of two trays treated alike, one may take 78 and the other 95 of 100',
     'one pair in ten lies 31 points apart or more.']
    """
    return (
        f"Of two trays treated alike, one may take {percent_number(poorer)} and the other "
        f"{percent_number(better)} of 100; one pair in ten lies {points(wide)} apart or more."
    )


def places_line(trays: int, benches: int, placed: int, positions: bool) -> str:
    """Say how much is known of where trays stood.

    Examples
    --------
    >>> places_line(38, 2, 38, True)
    '38 trays on 2 benches, each in its place.'
    >>> places_line(38, 2, 36, True).split("; ")  # doctest: +NORMALIZE_WHITESPACE
    ['38 trays on 2 benches, 36 of them in their places',
     'the place of the other 2 is not recorded or cannot be read.']
    """
    on = f" on {count_of(benches, 'bench', 'benches')}" if benches else ", bench not recorded"
    said = f"{count_of(trays, 'tray')}{on}"
    if not positions:
        return (
            f"{said}. Only the bench is recorded, so the trays of a bench stand in the order of "
            "their names, not in their places."
        )
    if placed == trays:
        return f"{said}, each in its place."
    if not placed:
        return (
            f"{said}. No position can be read as a place, so trays stand in the order of their "
            "names."
        )
    rest = trays - placed
    return (
        f"{said}, {whole(placed)} of them in their places; the place of the other {whole(rest)} is "
        "not recorded or cannot be read."
    )


def bench_name(bench: str) -> str:
    """Name a bench in a table.

    Examples
    --------
    >>> bench_name("south"), bench_name("")
    ('south', 'not recorded')
    """
    return bench or NOT_RECORDED


def panel_title(bench: str, how: str, *, more: bool) -> str:
    """Head the trays of one bench.

    Examples
    --------
    >>> panel_title("south", "", more=False), panel_title("", "in order of name", more=True)
    ('Bench south', 'Bench not recorded, in order of name (continued)')
    """
    name = f"Bench {bench}" if bench else "Bench not recorded"
    return f"{name}{f', {how}' if how else ''}{' (continued)' if more else ''}"


IN_ORDER = "in order of name"
_SIDES = {"low": "▼ low", "high": "▲ high"}


def box_lines(place: str, tray: str, taken: float, tried: float, side: str) -> tuple[str, ...]:
    """The words inside the box of a tray.

    Examples
    --------
    >>> box_lines("A3", "T316", 21, 30, "low")
    ('A3', 'T316', '21 of 30', '▼ low')
    """
    return (place, tray, f"{whole(taken)} of {whole(tried)}", _SIDES.get(side, ""))


def map_sentence(
    trays: int, benches: Sequence[str], odd: Sequence[str], *, judged: bool = True
) -> str:
    """Say what a chart of trays in their places shows.

    Examples
    --------
    >>> map_sentence(2, ["south"], ["T316"])
    'Of 2 trays on bench south, 1 lies far from its group: T316.'
    >>> map_sentence(3, ["", "north"], [])
    'None of 3 trays on bench north and a bench not recorded lies far from its group.'
    """
    named = [bench for bench in benches if bench]
    where = f"bench {listing(named)}" if named else ""
    if "" in benches:
        where = " and ".join(part for part in (where, "a bench not recorded") if part)
    if len(named) > 3:
        where = count_of(len(benches), "bench", "benches")
    if not judged:
        return f"{opened(count_of(trays, 'tray'))} on {where}, too few for one to stand out."
    if not odd:
        return f"None of {count_of(trays, 'tray')} on {where} lies far from its group."
    shown = ", ".join(odd[:6]) + (f" and {len(odd) - 6} more" if len(odd) > 6 else "")
    verb = "lies far from its" if len(odd) == 1 else "lie far from their"
    return f"Of {count_of(trays, 'tray')} on {where}, {len(odd)} {verb} group: {shown}."


def map_spoken(rows: Sequence[tuple[str, str, str, float, float, str]]) -> str:
    """Say every tray of the chart to somebody who cannot see it.

    Parameters
    ----------
    rows : sequence of (bench, place, tray, taken, tried, side)

    Examples
    --------
    >>> map_spoken([("south", "A3", "T316", 21, 30, "low")])
    'Bench south: A3 T316 21 of 30, low.'
    """
    said: list[str] = []
    bench: str | None = None
    for where, place, tray, taken, tried, side in rows:
        if where != bench:
            said.append(f"{opened(panel_title(where, '', more=False))}:")
            bench = where
        count = f"{whole(taken)} of {whole(tried)}"
        said.append(f"{f'{place} ' if place else ''}{tray} {count}{f', {side}' if side else ''}.")
    return " ".join(said)


def rest_line(trays: int, charts: int) -> str:
    """Say that not every tray is drawn.

    Examples
    --------
    >>> rest_line(412, 6).split("; ")  # doctest: +NORMALIZE_WHITESPACE
    ['The 6 charts above show the benches with most trays to look at',
     'the other 412 trays stand in tables/tray_places.csv.']
    """
    return (
        f"The {charts} charts above show the benches with most trays to look at; the other "
        f"{whole(trays)} trays stand in tables/tray_places.csv."
    )
