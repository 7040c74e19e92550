"""What does a grower see in each cell of a workbook?

A workbook holds numbers and says beside each how it is shown. What is shown is
what was typed or meant: ``85%`` and not 0.85, ``Feb-26`` and not the first of
February. Cells are therefore read with their format.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from typing import Any

from takestats.records.dates import MonthShown

_SHEET_FILE = re.compile(r"xl/worksheets/[^/]+\.xml\Z")
_FORMULA_ALONE = re.compile(rb"<f[^>]*(?:/>|>[^<]*</f>)\s*(?:<v\s*/>|<v>\s*</v>|</c>)")
_IN_BRACKETS = re.compile(r"\[[^\]]*\]|\"[^\"]*\"|\\.")


def workbook_cells(data: bytes) -> tuple[dict[str, list[list[Any]]], list[str]]:
    """Every sheet cell by cell, as text, a date, or None; and the sheets with merged cells."""
    from openpyxl import load_workbook

    alone, merged = _looked_at(data)
    book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    plans = load_workbook(io.BytesIO(data), read_only=True) if alone else None
    sheets: dict[str, list[list[Any]]] = {}
    try:
        for place, sheet in enumerate(book.worksheets):
            sheet.reset_dimensions()
            rows = [[_seen(cell) for cell in row] for row in sheet.iter_rows()]
            if plans is not None and place in alone:
                formulas = plans.worksheets[place]
                formulas.reset_dimensions()
                _show_formulas(rows, formulas.iter_rows(values_only=True))
            sheets[str(sheet.title)] = rows
    finally:
        book.close()
        if plans is not None:
            plans.close()
    return sheets, [name for i, name in enumerate(sheets) if i in merged]


def _looked_at(data: bytes) -> tuple[set[int], set[int]]:
    """Sheets (from 0) with a formula that has no saved result, and with merged cells."""
    alone: set[int] = set()
    merged: set[int] = set()
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        names = sorted(
            (n for n in parts.namelist() if _SHEET_FILE.match(n)),
            key=lambda n: [int(d) for d in re.findall(r"\d+", n)],
        )
        for place, name in enumerate(names):
            text = parts.read(name)
            if _FORMULA_ALONE.search(text) is not None:
                alone.add(place)
            if b"<mergeCell " in text:
                merged.add(place)
    return alone, merged


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
