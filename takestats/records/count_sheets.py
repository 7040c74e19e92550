"""Which tray of the record sheet does a row on the sheet of another count tell of?

A workbook may keep its later counts on sheets of their own: the tray again, the name of the
count, its day and what is alive. What was done to the tray, and how many grafts were made,
stands on the record sheet and is taken from there; counts of two days are never added.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from takestats.records.columns import BY_NAME
from takestats.records.problems import FaultLog
from takestats.records.row_checks import Cells
from takestats.records.sheets import TypedTable
from takestats.records.trays import codes_of

Rows = NDArray[np.intp]
Values = NDArray[Any]

_WHY = "the tray's other count"


def join_count_sheets(
    cells: Cells, typed: TypedTable, log: FaultLog, columns: Sequence[str]
) -> Rows:
    """Fill the rows of count sheets from the rows of the record sheet that they tell of.

    Parameters
    ----------
    cells : Cells
        Changed: blanks of such rows are filled in.
    typed : TypedTable
        ``beside`` marks the rows of count sheets.
    log : FaultLog
        Told of each cell that is filled in, and of trays that are not on the record sheet.
    columns : sequence of str
        The columns that part the lines of a tray.

    Returns
    -------
    array of int
        For each row a row of the record sheet with the same tray, or -1.
    """
    same_tray = np.full(cells.size, -1, dtype=np.intp)
    beside = np.flatnonzero(typed.beside)
    if len(beside) == 0 or "tray" not in cells.values:
        return same_tray
    lines = _lines_of_trays(cells, typed)
    rows, leads, unknown = [], [], []
    for row in beside.tolist():
        if cells.text("tray")[row] is None:
            continue
        there = lines.get(_key(cells, typed, row), [])
        if not there:
            unknown.append(row)
            continue
        same_tray[row] = there[0]
        agreeing = [line for line in there if _agree(cells, columns, row, line)]
        if len(agreeing) == 1:
            rows.append(row)
            leads.append(agreeing[0])
    at = np.array(unknown, dtype=np.intp)
    log.add("not_on_record_sheet", at[log.usable("tray")[at]], "tray")
    log.bad("grafted")[at] = True  # that they are missing is told already
    _fill(cells, log, [*columns, "grafted"], np.array(rows, dtype=np.intp), np.array(leads, int))
    return same_tray


def _lines_of_trays(cells: Cells, typed: TypedTable) -> dict[tuple[Any, ...], list[int]]:
    out: dict[tuple[Any, ...], list[int]] = {}
    for row in np.flatnonzero(~typed.beside).tolist():
        out.setdefault(_key(cells, typed, row), []).append(row)
    return out


def _key(cells: Cells, typed: TypedTable, row: int) -> tuple[Any, ...]:
    """File, trial, tray, and the graft where rows are single grafts."""
    names = ("trial", "tray", "graft") if typed.single[row] else ("trial", "tray")
    return (typed.files[row], *(cells.text(name)[row] for name in names))


def _agree(cells: Cells, columns: Sequence[str], row: int, line: int) -> bool:
    """Whether a row says nothing that a line of the record sheet contradicts."""
    for name in columns:
        told = cells.values[name][row]
        if not _blank(told) and told != cells.values[name][line]:
            return False
    return True


def _blank(value: Any) -> bool:
    return value is None or value != value


def _fill(cells: Cells, log: FaultLog, names: Sequence[str], rows: Rows, leads: Rows) -> None:
    for name in names:
        column = cells.values.get(name)
        if column is None or len(rows) == 0:
            continue
        whole = BY_NAME[name].kind in ("whole", "length") if name in BY_NAME else False
        empty = np.isnan(column[rows].astype(float)) if whole else _blanks(column[rows])
        if empty.any():
            column = column.copy()
            column[rows[empty]] = column[leads[empty]]
            cells.values[name] = column
            log.change(rows[empty], name, _WHY)


def _blanks(column: Values) -> NDArray[np.bool_]:
    return np.array([_blank(value) for value in column], dtype=bool)


def planned_only(cells: Cells, typed: TypedTable, rows_per: str) -> NDArray[np.bool_]:
    """Rows of single grafts that a bench layout planned and nobody has made yet.

    Only in the workbook of a layout with a row for each graft: there a row stands before the
    graft is made, and tells of one once it has a date or a count.

    Parameters
    ----------
    cells : Cells
    typed : TypedTable
    rows_per : str
        What has a row of its own in the workbook, from the settings.
    """
    if rows_per != "graft" or not typed.single.any():
        return np.zeros(cells.size, dtype=bool)
    told = cells.given("graft_date") | cells.given("count_date") | cells.given("grafted")
    for name in ("taken", "understock_dead", "missing"):
        told |= cells.given(name)
    return typed.single & ~told & ~typed.beside


def not_made(planned: NDArray[np.bool_], cells: Cells, typed: TypedTable) -> Rows:
    """Planned grafts of trays in which others were made: they are no grafts, and left out.

    A tray in which none was made yet keeps its rows: it is still to be grafted.
    """
    if not planned.any():
        return np.zeros(0, dtype=np.intp)
    tray = codes_of([typed.files, cells.text("trial"), cells.text("tray")])
    begun = np.unique(tray[~planned])
    return np.flatnonzero(planned & np.isin(tray, begun))
