"""Which groups of like grafts stand in a file, once all its blocks are held beside each other?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
from numpy.typing import NDArray

from takestats.records.changes import BLANKS
from takestats.records.columns import COLUMNS
from takestats.records.convert import SHEET_ERRORS
from takestats.records.dates import TURNED, looks_turned
from takestats.records.graft_blocks import Block, DoubtError, Whole, mixed, text_bytes
from takestats.records.graft_files import GraftFile
from takestats.records.odd_rows import TOTAL_WORDS
from takestats.records.spellings import spelling_key

_MOST_GROUPS = 1 / 2
_BITS_A_ROW = 8
_TOTAL_BEGINS = ("total", "grand", "sub")
_HEADERS = frozenset(word.lower() for c in COLUMNS for word in (c.name, *c.synonyms))
_CODES = np.arange(256)
_LETTERS = np.isin(_CODES, [*range(48, 58), *range(65, 91), *range(97, 123)])
_MARKS = np.isin(_CODES, list(b"-_./"))
_DAY = "^(?:" + TURNED.pattern.removesuffix(r"\Z") + ")$"


@dataclass(frozen=True, eq=False, kw_only=True)
class Groups:
    """Rows of one tray that say the same, over the whole file.

    Parameters
    ----------
    first : ndarray
        The first row of each group, counted from 0 below the header.
    rows, taken : ndarray
    tray : ndarray
        For each group the number of its tray in ``trays``.
    trays : pyarrow.Array
        The distinct trays as typed.
    profile : ndarray
        For each group the number of what was done to it.
    of_block : list of ndarray
        For each block the group of each of its own groups.
    cells : dict of str to (pyarrow.Array, ndarray)
        For each column but the tray its distinct cells, and which of them each profile has.
    """

    first: Whole
    rows: Whole
    taken: Whole
    tray: Whole
    trays: pa.Array
    profile: Whole
    of_block: list[Whole]
    cells: dict[str, tuple[pa.Array, Whole]]

    @property
    def profiles(self) -> int:
        """How many profiles."""
        return int(self.profile.max()) + 1

    def first_of_profile(self) -> Whole:
        """The group in which each profile stands first."""
        return first_places(self.profile)


def first_places(codes: Whole) -> Whole:
    """Where each number, given in the order of appearance, stands first."""
    first = np.empty(int(codes.max()) + 1, dtype=np.int64)
    first[codes[::-1]] = np.arange(len(codes) - 1, -1, -1)
    return first


def groups_of(file: GraftFile) -> Groups:
    """Gather the groups of all blocks.

    Raises
    ------
    DoubtError
        Where single grafts differ so much that little is gathered, or a tray or a graft
        is written in a way that the ordinary way would ask about.
    """
    blocks = file.blocks
    if not blocks:
        raise DoubtError("no rows")
    starts = np.cumsum([0, *[block.size for block in blocks]])
    names = list(blocks[0].cells)
    coded = {name: pa.concat_arrays([b.cells[name] for b in blocks]) for name in names}
    coded = {name: column.dictionary_encode() for name, column in coded.items()}
    codes = {
        name: column.indices.fill_null(-1).to_numpy(zero_copy_only=False)
        for name, column in coded.items()
    }
    others = [name for name in names if name != "tray"]
    tray = codes["tray"].astype(np.int64)
    trays = coded["tray"].dictionary
    if coded["tray"].null_count or not are_plain(trays):
        raise DoubtError("a tray that must be asked about")
    for name in blocks[0].free:
        _check_free(pa.concat_arrays([b.free[name] for b in blocks]).unique())
    profile = mixed([codes[n] for n in others]) if others else np.zeros(len(tray), dtype=np.int64)
    group = mixed([tray, profile])
    at = first_places(group)
    if len(at) > starts[-1] * _MOST_GROUPS:
        raise DoubtError("every graft its own treatment")
    sizes = [len(block.first) for block in blocks]
    first_rows = np.concatenate([b.first + s for b, s in zip(blocks, starts, strict=False)])
    leads = at[first_places(profile[at])]
    return Groups(
        first=first_rows[at],
        rows=_sums(group, [block.rows for block in blocks]),
        taken=_sums(group, [block.taken for block in blocks]),
        tray=tray[at],
        trays=trays,
        profile=profile[at],
        of_block=np.split(group, np.cumsum(sizes)[:-1]),
        cells={name: (coded[name].dictionary, codes[name][leads]) for name in others},
    )


def _sums(group: Whole, parts: list[Whole]) -> Whole:
    return np.bincount(group, weights=np.concatenate(parts)).astype(np.int64)


def _check_free(cells: pa.Array) -> None:
    cells = cells.drop_null()
    if pa.types.is_string(cells.type):
        cells = cells.filter(pc.not_equal(cells, ""))
        if not are_plain(cells):
            raise DoubtError("a note that must be asked about")
    elif not pa.types.is_integer(cells.type) and len(cells):
        raise DoubtError("a note of another kind")


# --- names that need no asking ---------------------------------------------------------


def are_plain(cells: pa.Array) -> bool:
    """Whether distinct names are kept as typed by every rule of the ordinary way.

    No blank, no space at the ends, no result of a formula, no day in the place of a
    name, no total, no header, no sign for blank, no name in two spellings.
    """
    if pa.types.is_integer(cells.type):
        return not cells.null_count
    if not pa.types.is_string(cells.type):
        return False
    letters, lengths = text_bytes(cells)
    if len(lengths) == 0:
        return True
    if lengths.min() == 0:
        return False
    ends = np.cumsum(lengths)
    inside = bool((_LETTERS | _MARKS)[letters].all())
    if not (
        inside and _LETTERS[letters[ends - 1]].all() and _LETTERS[letters[ends - lengths]].all()
    ):
        return _are_plain_one_by_one(cells.to_pylist())
    if _MARKS[letters].any() and pc.any(pc.match_substring_regex(cells, _DAY)).as_py():
        return False
    small = pc.ascii_lower(cells)
    words = pa.array(sorted(BLANKS | TOTAL_WORDS | _HEADERS))
    if pc.any(pc.is_in(small, value_set=words)).as_py():
        return False
    if any(pc.any(pc.starts_with(small, word)).as_py() for word in _TOTAL_BEGINS):
        return False
    mixed_case = (letters >= ord("a")).any() and ((letters >= 65) & (letters <= 90)).any()
    return not mixed_case or bool(pc.count_distinct(small).as_py() == len(cells))


def _are_plain_one_by_one(texts: list[str]) -> bool:
    keys = {spelling_key(text) for text in texts}
    return len(keys) == len(texts) and all(_is_plain(text) for text in texts)


def _is_plain(text: str) -> bool:
    small = text.lower()
    bare = small.strip(" :.")
    return (
        text[0].isalnum()
        and not text[-1].isspace()
        and text.isprintable()
        and '"' not in text
        and not looks_turned(text)
        and small not in SHEET_ERRORS
        and bare not in BLANKS | TOTAL_WORDS | _HEADERS
        and not small.startswith(_TOTAL_BEGINS)
    )


# --- grafts told twice ------------------------------------------------------------------


def check_grafts(blocks: list[Block], of_block: list[Whole], tray: Whole) -> None:
    """Every graft of a tray has its own number; ``tray`` is that of each group.

    Raises
    ------
    DoubtError
        When two rows of one tray tell of the same graft, or it may be so.
    """
    trays = [tray[groups] for groups in of_block]
    if all(block.rising for block in blocks) and _apart(blocks, trays):
        return
    numbers = _numbers(blocks)
    least = min(int(n.min()) for n in numbers)
    wide = max(int(n.max()) for n in numbers) - least + 1
    rows = sum(len(n) for n in numbers)
    if wide * (int(tray.max()) + 1) >= 2**62:
        raise DoubtError("grafts of very large numbers")
    if wide * (int(tray.max()) + 1) <= _BITS_A_ROW * rows:
        seen = np.zeros(wide * (int(tray.max()) + 1), dtype=bool)
        for block, of_group, number in zip(blocks, trays, numbers, strict=True):
            seen[block.each_row(of_group) * wide + (number - np.int64(least))] = True
        distinct = int(np.count_nonzero(seen))
    else:
        keys = [
            block.each_row(of_group) * wide + (number - np.int64(least))
            for block, of_group, number in zip(blocks, trays, numbers, strict=True)
        ]
        every = np.concatenate(keys)
        every.sort()
        distinct = 1 + int(np.count_nonzero(every[1:] != every[:-1]))
    if distinct < rows:
        raise DoubtError("a graft told twice")


def _apart(blocks: list[Block], trays: list[Whole]) -> bool:
    """Whether the runs of one tray have numbers that do not overlap."""
    low = np.concatenate([b.grafts[b.first] for b in blocks])
    high = np.concatenate([b.grafts[b.first + b.rows - 1] for b in blocks])
    tray = np.concatenate(trays)
    if len(tray) == int(tray.max()) + 1:
        return True
    order = np.lexsort((low, tray))
    low, high, tray = low[order], high[order], tray[order]
    return not bool(((tray[1:] == tray[:-1]) & (low[1:] <= high[:-1])).any())


def _numbers(blocks: list[Block]) -> list[NDArray[np.int64]]:
    """One numbering of the grafts for all blocks."""
    worded = [block.graft_words for block in blocks if block.graft_words is not None]
    if not worded:
        return [block.grafts for block in blocks]
    if len(worded) < len(blocks):
        raise DoubtError("grafts in figures and in words")
    coded = pa.concat_arrays(worded).dictionary_encode()
    if not are_plain(coded.dictionary):
        raise DoubtError("a graft that must be asked about")
    ends = np.cumsum([len(words) for words in worded])[:-1]
    places = np.split(coded.indices.to_numpy(), ends)
    return [place[block.grafts] for place, block in zip(places, blocks, strict=True)]
