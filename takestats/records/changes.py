"""Which cells were read as something else than what was typed?

The list is made by holding every cell as typed against the value it became, so
that nothing can be changed without standing in it; the rules only say why.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.problems import plain, stacked

CHANGE_COLUMNS = ("file", "sheet", "row", "column", "typed", "became", "why")

BLANKS = frozenset({"", "na", "n/a", "#n/a", "nan", "nat", "<na>", "null"})
"""Cells that say nothing. A dash or a question mark is not among them."""

Values = NDArray[Any]


def changes_table(
    origin: pd.DataFrame,
    typed: Mapping[str, Values],
    became: Mapping[str, Values],
    whys: Mapping[str, Values],
    left_out: Mapping[str, NDArray[np.bool_]],
) -> pd.DataFrame:
    """Every cell whose value is not the text as typed, one line each.

    Parameters
    ----------
    origin : pandas.DataFrame
        file, sheet and row of every row.
    typed, became : dict of str to array
        The cells as they stood in the file, and the values they became.
    whys : dict of str to array
        For each column, the reasons that the rules gave, row by row (or None).
    left_out : dict of str to array of bool
        Cells that have a fault, and so no value.
    """
    blocks: list[pd.DataFrame] = []
    for column, now in became.items():
        if column not in typed and column not in whys:
            continue
        before = typed.get(column, np.full(len(now), None, dtype=object))
        skipped = left_out.get(column, np.zeros(len(now), dtype=bool)) | left_out["*"]
        rows, old, new = _different(before, now, skipped)
        if len(rows) == 0:
            continue
        block = origin.iloc[rows][["file", "sheet", "row"]].reset_index(drop=True)
        block["column"] = column
        block["typed"] = old
        block["became"] = new
        said = whys[column][rows] if column in whys else np.full(len(rows), None, dtype=object)
        block["why"] = [
            because or _plain_reason(a, b) for because, a, b in zip(said, old, new, strict=True)
        ]
        blocks.append(block)
    return stacked(blocks, CHANGE_COLUMNS, ["file", "sheet", "row", "column"])


def _different(
    before: Values, now: Values, skipped: NDArray[np.bool_]
) -> tuple[NDArray[np.intp], Values, Values]:
    """The rows that differ, with both texts; each distinct pair is compared once."""
    moved = np.flatnonzero(np.asarray(before != now, dtype=bool) & ~skipped)
    old_codes, old = pd.factorize(before[moved])
    new_codes, new = pd.factorize(now[moved])
    old_texts = np.array([*[plain(cell) for cell in old], ""], dtype=object)
    new_texts = np.array([*[plain(cell) for cell in new], ""], dtype=object)
    pairs = old_codes.astype(np.int64) * (len(new) + 1) + new_codes
    codes, distinct = pd.factorize(pairs)
    first = np.unique(codes, return_index=True)[1]
    number = now.dtype == float
    differs = np.array(
        [
            not same_cell(old_texts[old_codes[i]], new_texts[new_codes[i]], number=number)
            for i in first
        ],
        dtype=bool,
    )
    told = np.flatnonzero(differs[codes]) if len(distinct) else np.array([], dtype=np.intp)
    return moved[told], old_texts[old_codes[told]], new_texts[new_codes[told]]


def same_cell(typed: str, became: str, *, number: bool) -> bool:
    """Whether a cell was read as it stood: the same text, both blank, or the same number."""
    if typed == became or (not became and not typed.strip()):
        return True
    if not number or not became or not typed.isascii() or typed != typed.strip():
        return False
    try:
        return float(typed) == float(became)
    except ValueError:
        return False


def _plain_reason(typed: str, became: str) -> str:
    if typed.strip().lower() in BLANKS:
        return "a word for blank"
    return "spaces taken off" if became and became in typed else "another form"
