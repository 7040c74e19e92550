"""Into which blocks is the bench parted, and how many trays does each hold?"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from takestats.errors import DesignError
from takestats.wording import bench_refusals as words

KINDS = ("block", "day", "bench", "grafter", "heat_zone")
"""What a block may be. A day stands in the name of the block only: a date of grafting is
written down when it has been done."""

COLUMN_OF = {"bench": "bench", "grafter": "grafter", "heat_zone": "heat_zone"}
"""Kinds that have a column of their own in the records."""

MOST = 1000


@dataclass(frozen=True, kw_only=True)
class Block:
    """One block: its name, what it is by kind, and the trays that fit."""

    name: str
    parts: Mapping[str, str]
    places: int | None = None


def read_blocks(given: object) -> tuple[Block, ...]:
    """Read blocks: a number, names, or kinds with their names (and their places).

    Parameters
    ----------
    given : None, int, sequence of str, or mapping
        None is one block. A mapping has kinds (day, bench, grafter, heat_zone, block) with
        names, or with names and how many trays each holds. Several kinds are crossed.

    Returns
    -------
    tuple of Block

    Raises
    ------
    DesignError

    Examples
    --------
    >>> [block.name for block in read_blocks({"day": ["Monday", "Tuesday"], "bench": "south"})]
    ['day Monday, bench south', 'day Tuesday, bench south']
    """
    if given is None:
        return (Block(name="1", parts={"block": "1"}),)
    if isinstance(given, int) and not isinstance(given, bool):
        if not 1 <= given <= MOST:
            raise _refused(words.not_blocks(given))
        return tuple(Block(name=str(at), parts={"block": str(at)}) for at in range(1, given + 1))
    if isinstance(given, Mapping):
        kinds = {_kind(str(kind)): _named(names) for kind, names in given.items()}
        if not kinds or len(kinds) != len(given):
            raise _refused(words.not_blocks(given))
    elif isinstance(given, Sequence) and not isinstance(given, str):
        kinds = {"block": _named(given)}
    else:
        raise _refused(words.not_blocks(given))
    crossed = list(itertools.product(*(list(names.items()) for names in kinds.values())))
    if len(crossed) > MOST:
        raise _refused(words.not_blocks(len(crossed)))
    return tuple(_block(tuple(kinds), parts) for parts in crossed)


def _block(kinds: tuple[str, ...], parts: tuple[tuple[str, int | None], ...]) -> Block:
    by_kind = {kind: name for kind, (name, _) in zip(kinds, parts, strict=True)}
    said = [name if kind == "block" else f"{words.kind_words(kind)} {name}"
            for kind, name in by_kind.items()]  # fmt: skip
    known = [places for _, places in parts if places is not None]
    return Block(name=", ".join(said), parts=by_kind, places=min(known) if known else None)


def _kind(typed: str) -> str:
    plain = "_".join(typed.strip().lower().replace("-", " ").split())
    single = plain.removesuffix("es") if plain == "benches" else plain.removesuffix("s")
    if single not in KINDS:
        raise _refused(words.no_such_kind(typed, KINDS))
    return single


def _named(given: object) -> dict[str, int | None]:
    if isinstance(given, int) and not isinstance(given, bool):
        if not 1 <= given <= MOST:
            raise _refused(words.not_blocks(given))
        pairs: list[tuple[object, object]] = [(at, None) for at in range(1, given + 1)]
    elif isinstance(given, str):
        pairs = [(given, None)]
    elif isinstance(given, Mapping):
        pairs = list(given.items())
    elif isinstance(given, Sequence):
        pairs = [(name, None) for name in given]
    else:
        raise _refused(words.not_blocks(given))
    out: dict[str, int | None] = {}
    for typed, places in pairs:
        name = " ".join(str(typed).split())
        if not name or not name.isprintable():
            raise _refused(words.unnamed_block())
        if name.casefold() in {known.casefold() for known in out}:
            raise _refused(words.block_twice(name))
        if places is not None and (
            isinstance(places, bool) or not isinstance(places, int) or places < 1
        ):
            raise _refused(words.not_places(name, places))
        out[name] = places
    if not out:
        raise _refused(words.not_blocks(given))
    return out


def _refused(said: tuple[str, str, str]) -> DesignError:
    what, rule, next_step = said
    return DesignError(where="blocks", what=what, rule=rule, next_step=next_step)
