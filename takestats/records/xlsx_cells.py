"""What does a grower see in each cell of a workbook?

A workbook holds numbers and says beside each how it is shown. What is shown is
what was typed or meant: ``85%`` and not 0.85, ``Feb-26`` and not the first of
February. Cells are therefore read with their format.
"""

from __future__ import annotations

import datetime as dt
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from takestats.records.dates import MonthShown
from takestats.records.limits import MOST_ROWS, too_large
from takestats.records.packed_parts import SheetMarks, looked_at

_IN_BRACKETS = re.compile(r"\[[^\]]*\]|\"[^\"]*\"|\\.")


@dataclass(frozen=True, eq=False, kw_only=True)
class SheetCells:
    """One sheet cell by cell, as text, a date, or None; and what hides some of it."""

    rows: list[list[Any]]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    hidden: bool = False
    hidden_rows: tuple[int, ...] = ()
    hidden_columns: bool = False


def workbook_cells(data: bytes, label: str = "workbook") -> dict[str, SheetCells]:
    """Every sheet of a workbook, by its name, in order."""
    from openpyxl import load_workbook

    marks = looked_at(data, label)
    alone = any(one.formula_alone for one in marks.values())
    book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    plans = load_workbook(io.BytesIO(data), read_only=True) if alone else None
    sheets: dict[str, SheetCells] = {}
    try:
        for place, sheet in enumerate(book.worksheets):
            where = f"{label}, sheet {sheet.title}"
            sheet.reset_dimensions()
            rows = [[_seen(cell) for cell in row] for row in _not_endless(sheet.iter_rows(), where)]
            part = str(getattr(sheet, "_worksheet_path", ""))
            marked = marks.get(part, SheetMarks())
            if plans is not None and (marked.formula_alone or part not in marks):
                formulas = plans.worksheets[place]
                formulas.reset_dimensions()
                _show_formulas(rows, formulas.iter_rows(values_only=True))
            sheets[str(sheet.title)] = SheetCells(
                rows=rows,
                merged=tuple(_corners(ref) for ref in marked.merged),
                hidden=sheet.sheet_state != "visible",
                hidden_rows=tuple(marked.hidden_rows),
                hidden_columns=marked.hidden_columns,
            )
    finally:
        book.close()
        if plans is not None:
            plans.close()
    return sheets


def _not_endless(rows: Iterable[Any], where: str) -> Iterable[Any]:
    """Rows up to the last that a spreadsheet has; a part may claim any number."""
    for number, row in enumerate(rows, start=1):
        if number > MOST_ROWS:
            raise too_large(
                where,
                f"a row beyond row {MOST_ROWS:,}",
                f"A sheet has at most {MOST_ROWS:,} rows.",
                "Open it in a spreadsheet and save it again.",
            )
        yield row


def _corners(ref: str) -> tuple[int, int, int, int]:
    from openpyxl.utils.cell import range_boundaries

    left, top, right, bottom = range_boundaries(ref)
    return int(top), int(bottom), int(left), int(right)


def _show_formulas(rows: list[list[Any]], formulas: Any) -> None:
    """A formula whose result was not saved is shown as it stands, not as a blank."""
    for row, plan in zip(rows, formulas, strict=False):
        for place, text in enumerate(plan):
            if isinstance(text, str) and text.startswith("=") and row[place] is None:
                row[place] = text


def _seen(cell: Any) -> Any:
    """One cell as it is shown."""
    value = cell.value
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        if "%" in str(cell.number_format):
            return f"{_number(round(value * 100, 9))}%"
        return _number(value)
    if isinstance(value, dt.datetime | dt.date):
        shown = _IN_BRACKETS.sub("", str(cell.number_format)).lower()
        if value.day == 1 and "y" in shown and "m" in shown and "d" not in shown:
            return MonthShown(f"{value.year:04d}-{value.month:02d}")
        return value
    return str(value)


def _number(value: float) -> str:
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return repr(value) if isinstance(value, float) else str(value)
