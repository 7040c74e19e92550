"""Which rows of a sheet are no tray, and which blanks stand for the cell above?"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pandas as pd

from takestats.records.columns import PLACE_COLUMNS
from takestats.records.headers import read_header
from takestats.records.problems import FaultLog
from takestats.records.sheets import TEXT_KINDS, TypedTable

TOTAL_WORDS = frozenset(
    {
        "total",
        "totals",
        "sum",
        "sums",
        "grand total",
        "subtotal",
        "subtotals",
        "sub total",
        "mean",
        "means",
        "average",
        "averages",
        "overall",
    }
)
_WHERE_TOTALS_STAND = ("season", "trial", "tray", "graft", "scion", "understock", "method")


def flag_rows_that_are_no_tray(table: TypedTable, log: FaultLog) -> None:
    """Totals, repeated headers and rows too long: told once, kept out of every other rule."""
    _flag_swallowed_rows(table, log)
    for name in dict.fromkeys(column for column, _ in table.overlong):
        long = np.array([row for column, row in table.overlong if column == name], dtype=np.intp)
        log.add("long_row", long, name)
        log.spoil(long)
    firsts = [name for name in dict.fromkeys(table.first_columns) if name]
    looked_at = [*firsts, *_WHERE_TOTALS_STAND, *PLACE_COLUMNS]
    for name in dict.fromkeys(looked_at):
        if name not in table.cells:
            continue
        codes, distinct = pd.factorize(table.cells[name])
        total = np.array(
            [str(c).lower().strip(" :.") in TOTAL_WORDS for c in distinct] + [False], dtype=bool
        )
        rows = np.flatnonzero(total[codes] & log.usable())
        log.add("totals_row", rows, name)
        log.spoil(rows)
    for name in [n for n in (*firsts[:1], "tray") if n in table.cells]:
        codes, distinct = pd.factorize(table.cells[name])
        named = np.array([_says_total(c) for c in distinct] + [False], dtype=bool)
        rows = np.flatnonzero(named[codes] & log.usable())
        log.add("totals_row", rows, name)
        log.spoil(rows)
    same = np.zeros(len(table.origin), dtype=int)
    filled = np.zeros(len(table.origin), dtype=int)
    for name, column in table.cells.items():
        keys = {h.lower() for h in (name, *table.headers.get(name, []))}
        codes, distinct = pd.factorize(column)
        is_header = np.array([str(c).lower() in keys for c in distinct] + [False], dtype=bool)
        same += is_header[codes]
        filled += codes >= 0
    rows = np.flatnonzero((same >= 2) & (2 * same >= filled) & log.usable())
    first = "tray" if "tray" in table.cells else firsts[0]
    log.add("repeated_header", rows, first)
    log.spoil(rows)
    if "tray" in table.cells:
        alone = (filled == 1) & log.usable() & (pd.factorize(table.cells["tray"])[0] >= 0)
        if alone.any() and len(table.cells) > 2 and 2 * alone.sum() < len(alone):
            words = np.array([len(str(c).split()) for c in table.cells["tray"]])
            remarks = np.flatnonzero(alone & (words > 2))
            log.add("remark_row", remarks, "tray")
            log.spoil(remarks)
            log.add("lone_cell", np.flatnonzero(alone & (words <= 2)), "tray")


_FEWEST_SIGNS = 3


def _flag_swallowed_rows(table: TypedTable, log: FaultLog) -> None:
    """A cell of a text file with a line's worth of separators in it: a quote was left open."""
    text = np.array([Path(str(file)).suffix.lower() in TEXT_KINDS for file in table.origin["file"]])
    if not text.any():
        return
    enough = max(_FEWEST_SIGNS, len(table.cells) - 1)
    for name, column in table.typed.items():
        codes, distinct = pd.factorize(column)
        swallowed = [_signs(cell, each_line=name == "note") >= enough for cell in distinct]
        rows = np.flatnonzero(np.array([*swallowed, False], dtype=bool)[codes] & text)
        log.add("swallowed_rows", rows, name)
        log.spoil(rows)


def _signs(cell: object, *, each_line: bool) -> int:
    """How often a cell of several lines, or one line of it, holds the separator it holds most.

    A note may well have several lines and many commas, but not a row's worth in one of them.
    """
    if not isinstance(cell, str) or "\n" not in cell:
        return 0
    texts = cell.splitlines() if each_line else [cell]
    return max(text.count(sign) for text in texts for sign in ",;\t")


_TOTAL_OF = re.compile(r"(?:grand |sub-?\s?)?totals?(?: (?:for|of|week|trays?|grafts?)\b.*|\W.*)\Z")


def _says_total(cell: object) -> bool:
    """Whether a cell such as "Totals for week 3" heads a row of totals."""
    return isinstance(cell, str) and _TOTAL_OF.match(cell.lower()) is not None


def fill_down(table: TypedTable, wanted: bool | list[str], log: FaultLog) -> list[str]:
    """Where the settings say so, a blank cell takes the one above it in its sheet.

    Returns what must be said: columns that are to be filled and are not there.
    """
    never = {"grafted", "taken", "understock_dead", "missing", "alive_later", "saleable"}
    never |= {"defects_later", "count_date", "later_count_date", "saleable_date", "graft", "note"}
    never |= {"count"}
    columns = [c for c in table.cells if c not in never]
    if wanted is not True:
        columns = [c if c in table.cells else read_header(c).name for c in wanted or []]
    sheets = table.origin.groupby(["file", "sheet"], sort=False).ngroup().to_numpy()
    absent = [name for name in columns if name not in table.cells]
    for name in columns:
        if name in absent:
            continue
        before = pd.Series(table.cells[name], dtype=object)
        before[~log.usable()] = None  # a total is never the cell above
        after = before.groupby(sheets).ffill()
        rows = np.flatnonzero(before.isna() & after.notna() & log.usable())
        filled = after.to_numpy(dtype=object)
        log.change(rows, name, "the cell above")
        table.cells[name][rows] = filled[rows]
        log.typed[name][rows] = filled[rows]
    return [
        f'The settings ask to fill down "{name}", and the records have no such column.'
        for name in absent
    ]
