"""What does one block of a large file of single grafts say, read column by column?

Rows beside each other that say the same, but for the graft's number and whether it
took, are gathered at once. Every cell is compared as typed; nothing is turned into
anything else here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

Whole = NDArray[np.int64]

_MOST_RUNS = 1 / 4
_ZERO, _ONE, _NINE = 48, 49, 57
_LONGEST_NUMBER = 18
_RADIX = 2**62
_DENSE = 4


class DoubtError(Exception):
    """The quick reading is not sure of something; the ordinary way reads the file."""


@dataclass(frozen=True, kw_only=True)
class Roles:
    """What each column of a file of single grafts is there for.

    Parameters
    ----------
    keys : tuple of str
        The tray, and all that was done to the graft: rows that agree in these are told
        together.
    free : tuple of str
        Columns that say nothing of the treatment (a note, the graft's place).
    """

    keys: tuple[str, ...]
    free: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False, kw_only=True)
class Block:
    """The groups of one block, in the order of their first rows.

    Parameters
    ----------
    size : int
        Rows of the block.
    first, rows, taken : ndarray
        For each group its first row within the block, its rows, and those taken.
    cells : dict of str to pyarrow.Array
        The key columns, one cell for each group.
    member : ndarray or None
        The group of each row; None where groups are runs of rows.
    grafts : ndarray
        The number of each graft, or its place in ``graft_words``.
    graft_words : pyarrow.Array or None
        The distinct grafts as typed, where they are not figures.
    rising : bool
        The numbers rise within every group.
    free : dict of str to pyarrow.Array
        The distinct cells of the columns that tell of no treatment.
    """

    size: int
    first: Whole
    rows: Whole
    taken: Whole
    cells: dict[str, pa.Array]
    member: NDArray[np.int32] | None
    grafts: NDArray[Any]
    graft_words: pa.Array | None
    rising: bool
    free: dict[str, pa.Array] = field(default_factory=dict)

    @property
    def scattered(self) -> bool:
        """Rows of one tray stand apart."""
        return self.member is not None

    def each_row(self, of_group: NDArray[Any]) -> NDArray[Any]:
        """A value of each group, row by row."""
        return np.repeat(of_group, self.rows) if self.member is None else of_group[self.member]


def block_of(columns: Mapping[str, pa.Array], roles: Roles) -> Block:
    """Gather the rows of one block.

    Raises
    ------
    DoubtError
        For a take that is not 0 or 1, or a graft without a number.
    """
    taken = _took(columns["taken"])
    size = len(taken)
    if "grafted" in columns and not bool(_took(columns["grafted"]).all()):
        raise DoubtError("grafted")
    first = _run_starts([columns[name] for name in roles.keys])
    member = None
    if len(first) > size * _MOST_RUNS:
        member, first = _gathered([columns[name] for name in roles.keys])
        rows = np.bincount(member, minlength=len(first))
        takes = np.bincount(member, weights=taken, minlength=len(first)).astype(np.int64)
    else:
        rows = np.diff(first, append=size)
        takes = np.add.reduceat(taken, first, dtype=np.int64)
    grafts, words = _grafts(columns["graft"])
    return Block(
        size=size,
        first=first,
        rows=rows,
        taken=takes,
        cells={name: _plain(columns[name].take(pa.array(first))) for name in roles.keys},
        member=member,
        grafts=grafts,
        graft_words=words,
        rising=member is None and words is None and _rises(grafts, first),
        free={name: _plain(columns[name]).unique() for name in roles.free},
    )


def text_bytes(column: pa.Array) -> tuple[NDArray[np.uint8], NDArray[np.int32]]:
    """The letters of a column of text one after another, and how long each cell is."""
    _, places, letters = column.buffers()
    ends = np.frombuffer(places, dtype=np.int32)[column.offset : column.offset + len(column) + 1]
    if letters is None:
        return np.zeros(0, dtype=np.uint8), np.diff(ends)
    return np.frombuffer(letters, dtype=np.uint8)[ends[0] : ends[-1]], np.diff(ends)


def _plain(column: pa.Array) -> pa.Array:
    """A column without its dictionary, text in one type."""
    if pa.types.is_dictionary(column.type):
        column = column.dictionary_decode()
    if pa.types.is_large_string(column.type) or pa.types.is_string_view(column.type):
        column = column.cast(pa.string())
    return column


def _took(column: pa.Array) -> NDArray[Any]:
    """A column of 0 and 1, and nothing else."""
    column = _plain(column)
    if column.null_count:
        raise DoubtError("a blank take")
    if pa.types.is_string(column.type):
        letters, lengths = text_bytes(column)
        if len(letters) != len(lengths) or not (lengths == 1).all():
            raise DoubtError("a take that is not 0 or 1")
        values = letters - np.uint8(_ZERO)
    elif pa.types.is_integer(column.type) or pa.types.is_floating(column.type):
        values = column.to_numpy(zero_copy_only=False)
        if len(values) and not (values.min() >= 0 and values.max() <= 1):
            raise DoubtError("a take that is not 0 or 1")
        if pa.types.is_floating(column.type) and not np.isin(values, (0.0, 1.0)).all():
            raise DoubtError("a take that is not 0 or 1")
        values = values.astype(np.uint8)
    else:
        raise DoubtError("a take of another kind")
    if len(values) and values.max() > 1:
        raise DoubtError("a take that is not 0 or 1")
    return values


def _grafts(column: pa.Array) -> tuple[NDArray[Any], pa.Array | None]:
    """The graft's number in each row; or a number for each distinct word, with the words."""
    column = _plain(column)
    if column.null_count:
        raise DoubtError("a graft without a number")
    if pa.types.is_integer(column.type):
        return _small(column.cast(pa.int64()).to_numpy()), None
    if not pa.types.is_string(column.type):
        raise DoubtError("grafts of another kind")
    letters, lengths = text_bytes(column)
    if len(lengths) and lengths.min() == 0:
        raise DoubtError("a graft without a number")
    figures = len(letters) > 0 and letters.min() >= _ZERO and letters.max() <= _NINE
    if figures and lengths.max() <= _LONGEST_NUMBER:
        return _small(column.cast(pa.int64()).to_numpy()), None
    coded = column.dictionary_encode()
    return coded.indices.to_numpy(), coded.dictionary


def _small(numbers: Whole) -> NDArray[Any]:
    """The same numbers in half the room, where they fit."""
    if len(numbers) and (numbers.max() >= 2**31 or numbers.min() < 0):
        return numbers
    return numbers.astype(np.int32)


def _rises(numbers: NDArray[Any], first: Whole) -> bool:
    rise = numbers[1:] > numbers[:-1]
    rise[first[1:] - 1] = True
    return bool(rise.all())


def _run_starts(columns: list[pa.Array]) -> Whole:
    """The rows that differ from the row before them."""
    size = len(columns[0])
    change = np.zeros(max(size - 1, 0), dtype=bool)
    for column in columns:
        if pa.types.is_string(column.type) and not column.null_count:
            other = pc.not_equal(column.slice(1), column.slice(0, max(size - 1, 0)))
            change |= other.to_numpy(zero_copy_only=False)
        else:
            codes = _codes(column)
            change |= codes[1:] != codes[:-1]
    return np.concatenate([[0], np.flatnonzero(change) + 1]).astype(np.int64)


def _codes(column: pa.Array) -> NDArray[Any]:
    """A number for each distinct cell; a blank is -1."""
    if not pa.types.is_dictionary(column.type):
        column = column.dictionary_encode()
    indices = column.indices
    if indices.null_count:
        indices = indices.cast(pa.int32()).fill_null(-1)
    return np.asarray(indices.to_numpy(zero_copy_only=False))


def _gathered(columns: list[pa.Array]) -> tuple[NDArray[np.int32], Whole]:
    """The group of each row, and the first row of each group."""
    member = mixed([_codes(column) for column in columns])
    first = np.empty(int(member.max()) + 1, dtype=np.int64)
    first[member[::-1]] = np.arange(len(member) - 1, -1, -1)
    return member.astype(np.int32), first


def mixed(columns: list[NDArray[Any]]) -> Whole:
    """One number for each combination of numbers from -1 on, in the order they appear."""
    out = columns[0].astype(np.int64) + 1
    top = int(out.max(initial=0)) + 1
    for column in columns[1:]:
        codes = column.astype(np.int64) + 1
        width = int(codes.max(initial=0)) + 1
        if top * width > _RADIX:
            out = _in_order(out, top)
            top = int(out.max(initial=0)) + 1
        out = out * width + codes
        top *= width
    return _in_order(out, top)


def _in_order(codes: Whole, top: int) -> Whole:
    """The same numbers, all below ``top``, counted in the order they appear."""
    if top > _DENSE * len(codes):
        return np.asarray(pd.factorize(codes)[0], dtype=np.int64)
    first = np.full(top, -1, dtype=np.int64)
    first[codes[::-1]] = np.arange(len(codes) - 1, -1, -1)
    present = np.flatnonzero(first >= 0)
    number = np.empty(top, dtype=np.int64)
    number[present[np.argsort(first[present])]] = np.arange(len(present))
    return number[codes]
