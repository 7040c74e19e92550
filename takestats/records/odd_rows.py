"""Which rows of a sheet are no tray, and which blanks stand for the cell above?"""

from __future__ import annotations

import numpy as np
import pandas as pd

from takestats.records.columns import PLACE_COLUMNS
from takestats.records.problems import FaultLog
from takestats.records.sheets import TypedTable

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
    """Totals and repeated headers: told once each, and kept out of every other rule."""
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


def fill_down(table: TypedTable, wanted: bool | list[str], log: FaultLog) -> None:
    """Where the settings say so, a blank cell takes the one above it in its sheet."""
    never = {"grafted", "taken", "understock_dead", "missing", "alive_later", "saleable"}
    never |= {"defects_later", "count_date", "later_count_date", "saleable_date", "graft", "note"}
    never |= {"count"}
    columns = [c for c in table.cells if c not in never] if wanted is True else list(wanted or [])
    sheets = table.origin.groupby(["file", "sheet"], sort=False).ngroup().to_numpy()
    for name in columns:
        if name not in table.cells:
            continue
        before = pd.Series(table.cells[name], dtype=object)
        before[~log.usable()] = None  # a total is never the cell above
        after = before.groupby(sheets).ffill()
        rows = np.flatnonzero(before.isna() & after.notna() & log.usable())
        filled = after.to_numpy(dtype=object)
        log.change(rows, name, "the cell above")
        table.cells[name][rows] = filled[rows]
        log.typed[name][rows] = filled[rows]
