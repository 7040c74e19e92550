"""Can these targets, sources and limits be used?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from takestats.errors import CountsError
from takestats.order.given_limits import (
    Limits,
    Source,
    Task,
    bounds_of,
    is_cut_from,
    scion_of,
    wood_rank,
)
from takestats.order.limit_checks import (
    check_costs,
    check_each_can_be_made,
    check_labels,
    check_share_of_plants,
    check_week,
    check_whole,
)
from takestats.wording import order_limit_notes as notes
from takestats.wording import order_limit_refusals as refusals
from takestats.wording import order_limits as words

MOST = 1_000_000
"""Plants, pieces or grafts above this are taken for a slip of the pen."""

LEAST = 0.001
"""A source that gives less than a plant in a thousand grafts is left aside, and told."""


def checked_task(
    sources: Iterable[Source],
    wanted: Mapping[str, int],
    limits: Limits,
    priorities: Mapping[str, int] | None,
) -> Task:
    """Can these targets, sources and limits be used?

    Returns
    -------
    Task
        Sources in the order of the plants wanted, terminal wood first, then as they are named:
        the answer does not hang on the order in which they were given.

    Raises
    ------
    CountsError
        For the first thing that cannot be used.
    """
    sources = tuple(sources)
    plants = _wanted(wanted)
    names = tuple(plants)
    held = _limits(limits)
    kept = _sources(sources, names, len(held.weeks))
    check_each_can_be_made(names, kept)
    first = _priorities(priorities, names)
    return Task(
        combinations=names,
        wanted=tuple(plants.values()),
        priorities=tuple(first.get(name, 1) for name in names),
        sources=kept,
        made=tuple(names.index(source.combination) for source in kept),
        limits=held,
        bounds=bounds_of(kept, held),
        notes=(*notes.useless_notes(_useless(sources, kept)), *_notes(kept, held)),
    )


def _wanted(wanted: Mapping[str, int]) -> dict[str, int]:
    if not wanted:
        raise CountsError(**refusals.nothing_wanted())
    return {
        name: check_whole(f"wanted, {name}", value, 1, MOST, *refusals.plants_wanted())
        for name, value in wanted.items()
    }


def _limits(limits: Limits) -> Limits:
    check_labels(limits.weeks, limits.grafts_a_week)
    grafts = tuple(
        check_whole(f"grafts_a_week, {week}", most, 0, MOST, *refusals.grafts_in_week())
        for week, most in zip(limits.weeks, limits.grafts_a_week, strict=True)
    )
    if not any(grafts):
        raise CountsError(**refusals.no_graft_at_all())
    return Limits(
        weeks=tuple(limits.weeks),
        grafts_a_week=grafts,
        pieces={
            key: _at_hand(f"pieces, {words.piece_name(*key)}", most, refusals.pieces_at_hand())
            for key, most in limits.pieces.items()
        },
        understocks={
            key: _at_hand(f"understocks, {key}", most, refusals.understocks_at_hand())
            for key, most in limits.understocks.items()
        },
        tray_size=None
        if limits.tray_size is None
        else check_whole("tray_size", limits.tray_size, 1, MOST, *refusals.tray_of()),
    )


def _at_hand(where: str, most: Any, said: tuple[str, str]) -> int | None:
    return None if most is None else check_whole(where, most, 0, MOST, *said)


def _sources(sources: Iterable[Source], names: tuple[str, ...], weeks: int) -> tuple[Source, ...]:
    kept: dict[tuple[str, str, str], Source] = {}
    for source in sources:
        where = words.source_name(source.combination, source.wood, source.understock)
        if source.combination not in names:
            raise CountsError(**refusals.not_wanted(where, source.combination, names))
        if (source.combination, source.wood, source.understock) in kept:
            raise CountsError(**refusals.source_twice(where))
        check_share_of_plants(where, source.saleable_per_graft)
        check_costs(where, source.cost_per_graft)
        check_week(where, source.first_week, source.last_week, weeks)
        kept[source.combination, source.wood, source.understock] = source
    return tuple(
        sorted(
            (source for source in kept.values() if source.saleable_per_graft >= LEAST),
            key=lambda s: (names.index(s.combination), wood_rank(s.wood), s.wood, s.understock),
        )
    )


def _priorities(given: Mapping[str, int] | None, names: tuple[str, ...]) -> dict[str, int]:
    for name in given or {}:
        if name not in names:
            raise CountsError(**refusals.priority_of_nothing(name, names))
    return {
        name: check_whole(f"priorities, {name}", rank, 1, MOST, *refusals.priority_words())
        for name, rank in (given or {}).items()
    }


def _useless(given: tuple[Source, ...], kept: tuple[Source, ...]) -> list[str]:
    return [words.source_name(s.combination, s.wood, s.understock) for s in given if s not in kept]


def _notes(sources: tuple[Source, ...], limits: Limits) -> tuple[str, ...]:
    """Which limits were not given, and which were given for nothing that is wanted."""
    open_wood = [
        words.piece_name(scion_of(source.combination), source.wood)
        for source in sources
        if not any(
            is_cut_from(source, key) for key, most in limits.pieces.items() if most is not None
        )
    ]
    open_stock = [s.understock for s in sources if limits.understocks.get(s.understock) is None]
    idle_wood = [
        words.piece_name(*key)
        for key in limits.pieces
        if not any(is_cut_from(source, key) for source in sources)
    ]
    used = {source.understock for source in sources}
    idle_stock = [name for name in limits.understocks if name not in used]
    return notes.given_notes(
        list(dict.fromkeys(open_wood)), list(dict.fromkeys(open_stock)), idle_wood, idle_stock
    )
