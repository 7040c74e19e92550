"""What does a later count of a tray say, and what does it leave to the earlier one?

At a later count a grower writes the tray and what is alive. What was done to the
tray stands in the row of its first count, and is taken from there.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.columns import PLACE_COLUMNS
from takestats.records.problems import FaultLog
from takestats.records.row_checks import Cells
from takestats.records.trays import TrayKeys, codes_of

Rows = NDArray[np.intp]


def moving_columns(cells: Cells, keys: TrayKeys, log: FaultLog, unknown: list[str]) -> list[str]:
    """Columns nobody declared that differ from count to count of one tray.

    They tell of the count, not of what was done to the tray, so they cannot part
    the lines of a tray.
    """
    at, _ = _once_at_each_count(cells, keys, log)
    if len(at) == 0:
        return []
    units = keys.unit[at]
    out = []
    for name in unknown:
        column = pd.Series(cells.values[name][at])
        first = column.groupby(units).transform("first")
        if (column.notna() & (column != first)).any():
            out.append(name)
    return out


def _once_at_each_count(cells: Cells, keys: TrayKeys, log: FaultLog) -> tuple[Rows, Rows]:
    """Rows of units counted more than once: those with one row a count, and the others."""
    at = np.flatnonzero(log.usable("count", "tray") & cells.given("tray"))
    if len(at) == 0:
        return at, at
    units = keys.unit[at]
    if np.all(keys.count[at] == keys.count[at[0]]):
        return at[:0], at[:0]  # one count of everything, as in most sheets
    per_count = pd.Series(1, index=at).groupby([units, keys.count[at]]).transform("size")
    widest = per_count.groupby(units).transform("max").to_numpy()
    counts = pd.Series(keys.count[at]).groupby(units).transform("nunique").to_numpy()
    once, several = at[(widest == 1) & (counts > 1)], at[(widest > 1) & (counts > 1)]
    return once, several


def find_lines_of_later_counts(
    cells: Cells, keys: TrayKeys, log: FaultLog, columns: list[str]
) -> None:
    """In a tray of several lines, find the line that a later row tells of.

    A row that leaves some of the treatment blank belongs to the only line of the
    first count that it does not contradict; where there are several it is asked
    which one.
    """
    _, at = _once_at_each_count(cells, keys, log)
    if len(at) == 0:
        return
    first_count = pd.Series(keys.count[at]).groupby(keys.unit[at]).transform("min").to_numpy()
    early, later = at[keys.count[at] == first_count], at[keys.count[at] > first_count]
    told = codes_of([keys.unit, *[cells.values[name] for name in columns]])
    same = pd.Series(early, index=told[early])
    same = same[~same.index.duplicated()].reindex(told[later])
    known = same.notna().to_numpy()
    _fill(cells, log, ["grafted"], later[known], same[known].to_numpy(dtype=np.intp))
    lines_of = pd.Series(early).groupby(keys.unit[early]).agg(list)
    names = [name for name in columns if name not in PLACE_COLUMNS]
    found: list[tuple[int, int]] = []
    asked: list[int] = []
    lines: list[str] = []
    for row in later[~known].tolist():
        matching = [
            line
            for line in lines_of[keys.unit[row]]
            if all(_agree(cells.values[n][row], cells.values[n][line]) for n in names)
        ]
        if len(matching) == 1:
            found.append((row, matching[0]))
        elif matching:
            asked.append(row)
            here = np.full(len(matching), row, dtype=np.intp)
            lead = log.names_of(np.array(matching, dtype=np.intp), here)
            lines.append(" or ".join(lead))
    rows, lead_rows = (np.array([f[i] for f in found], dtype=np.intp) for i in (0, 1))
    _fill(cells, log, [*columns, "grafted"], rows, lead_rows)
    log.add("which_line", np.array(asked, dtype=np.intp), "tray", each={"lines": lines})
    log.bad("grafted")[asked] = True  # which it is, is asked already


def _agree(later: Any, early: Any) -> bool:
    """A blank agrees with anything; anything else only with itself."""
    return _blank(later) or later == early


def _blank(value: Any) -> bool:
    return value is None or value != value


def _fill(cells: Cells, log: FaultLog, names: list[str], rows: Rows, lead: Rows) -> None:
    """Take what these rows leave blank from the rows that lead them."""
    for name in names:
        if name not in cells.values or len(rows) == 0:
            continue
        column = cells.values[name]
        empty = pd.isna(column[rows]) & ~pd.isna(column[lead])
        if empty.any():
            column = column.copy()
            column[rows[empty]] = column[lead[empty]]
            cells.values[name] = column
            log.change(rows[empty], name, "the tray's other count")


def inherit_from_earlier_counts(
    cells: Cells, keys: TrayKeys, log: FaultLog, columns: list[str]
) -> None:
    """A tray with one row at each count keeps its treatment from count to count.

    A cell left blank at a later count is filled from the earlier one (that is
    one tray told twice, not a blank that means something); a cell that says
    something else is a fault.
    """
    at, _ = _once_at_each_count(cells, keys, log)
    if len(at) == 0:
        return
    at = at[np.lexsort((keys.count[at], keys.unit[at]))]
    units = keys.unit[at]
    for name in [*columns, "grafted"]:
        if name not in cells.values:
            continue
        column = pd.Series(cells.values[name][at])
        first = column.groupby(units).transform("first")
        blank = (column.isna() & first.notna()).to_numpy()
        if blank.any():
            cells.values[name] = cells.values[name].copy()
            cells.values[name][at[blank]] = first.to_numpy()[blank]
            log.change(at[blank], name, "the tray's other count")
        if name in PLACE_COLUMNS:
            continue  # told by the rule of the two places
        differs = (column.notna() & (column != first)).to_numpy() & log.usable(name)[at]
        if not differs.any():
            continue
        lead = pd.Series(np.where(column.notna(), at, -1)).replace(-1, np.nan)
        lead_row = lead.groupby(units).transform("first").to_numpy()[differs].astype(np.intp)
        code = "grafted_changed" if name == "grafted" else "treatment_changed"
        rows = at[differs]
        each = {
            "first": log.names_of(lead_row, rows),
            "other": first.to_numpy()[differs].tolist(),
        }
        log.add(code, rows, name, each=each)
