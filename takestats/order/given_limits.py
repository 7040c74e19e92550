"""What is wanted, in which ways can it be made, and which limits do they share?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from takestats.records.pairs import split_pair
from takestats.wording import order_limits as words

_WOODS = {"terminal": 0, "sub_terminal": 1, "basal": 2}


@dataclass(frozen=True, kw_only=True)
class Source:
    """One way to make one combination.

    Parameters
    ----------
    combination : str
        As among the plants wanted.
    wood : str
        ``terminal``, ``sub_terminal``, ``basal`` or ``not recorded``.
    understock : str
        The lot or class of understock it uses.
    saleable_per_graft : float
        Plants to count on from one graft: a proportion, the lower limit already.
    first_week, last_week : int
        Its window, as places in ``Limits.weeks``: 0 is the first, both are included.
    cost_per_graft : float
        Money, or nothing when not recorded.
    """

    combination: str
    wood: str
    understock: str
    saleable_per_graft: float
    first_week: int
    last_week: int
    cost_per_graft: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What is at hand.

    Parameters
    ----------
    weeks : tuple of str
        Labels, in order.
    grafts_a_week : tuple of int
        The most grafts in each week.
    pieces : mapping of (str, str) to int or None
        Scion pieces of a scion or a combination, and of a wood. None, or not named: no limit.
    understocks : mapping of str to int or None
        Understocks that can be grafted, of each lot or class. None, or not named: no limit.
    tray_size : int or None
        Grafts in a tray.
    """

    weeks: tuple[str, ...]
    grafts_a_week: tuple[int, ...]
    pieces: Mapping[tuple[str, str], int | None]
    understocks: Mapping[str, int | None]
    tray_size: int | None = None


@dataclass(frozen=True, kw_only=True)
class Bound:
    """One limit: these sources together make no more grafts than so many.

    ``kind`` is wood, understock or days; a limit of days holds for the sources whose window lies
    within ``first`` and ``last``.
    """

    kind: str
    name: str
    most: int
    members: tuple[int, ...]
    wood: str = ""
    first: int = -1
    last: int = -1


@dataclass(frozen=True, kw_only=True)
class Task:
    """What was given, checked and put in a fixed order."""

    combinations: tuple[str, ...]
    wanted: tuple[int, ...]
    priorities: tuple[int, ...]
    sources: tuple[Source, ...]
    made: tuple[int, ...]
    limits: Limits
    bounds: tuple[Bound, ...]
    notes: tuple[str, ...]


def bounds_of(sources: tuple[Source, ...], limits: Limits) -> tuple[Bound, ...]:
    """Every limit that these sources share: wood, understock, days."""
    return (*_wood(sources, limits), *_understock(sources, limits), *_days(sources, limits))


def wood_rank(wood: str) -> int:
    """How late a wood is cut into: terminal first, then sub-terminal, then basal.

    Examples
    --------
    >>> [wood_rank(wood) for wood in ("terminal", "sub_terminal", "basal", "not recorded")]
    [0, 1, 2, 1]
    """
    return _WOODS.get(wood, 1)


@cache
def scion_of(combination: str) -> str:
    """The scion of a combination.

    Examples
    --------
    >>> scion_of("Acer rubrum 'Ember' on Acer rubrum")
    "Acer rubrum 'Ember'"
    """
    pair = split_pair(combination)
    return pair[0] if pair else combination


def is_cut_from(source: Source, key: tuple[str, str]) -> bool:
    """Whether the pieces of a source are those of a scion or a combination, and a wood."""
    name, wood = key
    names = (source.combination.casefold(), scion_of(source.combination).casefold())
    return source.wood == wood and name.casefold() in names


def _wood(sources: tuple[Source, ...], limits: Limits) -> list[Bound]:
    found = []
    for key, most in limits.pieces.items():
        members = tuple(i for i, source in enumerate(sources) if is_cut_from(source, key))
        if members and most is not None:
            found.append(Bound(kind="wood", name=key[0], wood=key[1], most=most, members=members))
    return found


def _understock(sources: tuple[Source, ...], limits: Limits) -> list[Bound]:
    found = []
    for name, most in limits.understocks.items():
        members = tuple(i for i, source in enumerate(sources) if source.understock == name)
        if members and most is not None:
            found.append(Bound(kind="understock", name=name, most=most, members=members))
    return found


def _days(sources: tuple[Source, ...], limits: Limits) -> list[Bound]:
    """The limits of time, from the first week of one source to the last week of another.

    Notes
    -----
    Grafts can be given to weeks exactly when, for every such stretch of weeks, the grafts that
    must be made within it are no more than its weeks can hold (Hall's condition, which for
    windows without gaps need only be asked of stretches; from memory). So the weeks need no
    unknowns of their own.
    """
    found = []
    for first in sorted({source.first_week for source in sources}):
        for last in sorted({source.last_week for source in sources}):
            members = tuple(
                i
                for i, source in enumerate(sources)
                if first <= source.first_week and source.last_week <= last
            )
            if members:
                most = sum(limits.grafts_a_week[first : last + 1])
                name = words.stretch(limits.weeks[first], limits.weeks[last])
                found.append(
                    Bound(
                        kind="days", name=name, most=most, members=members, first=first, last=last
                    )
                )
    return found
