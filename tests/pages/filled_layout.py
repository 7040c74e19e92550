"""An invented trial: laid out, and its workbook filled in by a script that knows the truth."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import numpy as np
from openpyxl import load_workbook

from takestats.records.workbook_layout import COUNT_SHEETS, RECORDS_SHEET

SEED = 20260114
TRUTH = {"cleft": 0.70, "side veneer": 0.90}
SPREAD = 0.06
"""How alike the grafts of a tray are (intra-tray correlation), the same for both."""

SETTINGS: dict[str, Any] = {
    "title": "Cleft or side veneer (invented for a test)",
    "invented": True,
    "seed": SEED,
    "truth": "tests/pages/filled_layout.py",
    "trial": {"standard": "cleft", "new": "side veneer"},
    "bench": {
        "treatments": {"method": ["cleft", "side veneer"], "scion_wood": ["terminal", "basal"]},
        "trays_each": 8,
        "tray_size": 30,
        "blocks": {"day": ["Monday", "Tuesday", "Wednesday", "Thursday"]},
        "seed": 11,
    },
}


def rows_of_sheet(path: Path) -> list[dict[str, Any]]:
    """The filled cells of the record sheet, by heading."""
    sheet = load_workbook(path)[RECORDS_SHEET]
    top = next(row for row in (1, 2) if sheet.cell(row, 2).value)
    heads = [cell.value for cell in sheet[top]]
    lines = sheet.iter_rows(min_row=top + 1, values_only=True)
    return [dict(zip(heads, line, strict=True)) for line in lines if any(line)]


def fill_counts(path: Path, *, rows: int | None = None) -> None:
    """Type what a grower would: dates, grafts made, grafts taken; locked cells are left alone."""
    lot = np.random.default_rng(SEED)
    book = load_workbook(path)
    sheet = book[RECORDS_SHEET]
    top = next(row for row in (1, 2) if sheet.cell(row, 2).value)
    at = {cell.value: cell.column for cell in sheet[top]}
    lines = [n for n in range(top + 1, sheet.max_row + 1) if sheet.cell(n, at["tray"]).value]
    cells = 30 if sheet.cell(lines[0], at["note"]).value is None else 15
    takes: dict[tuple[object, object], float] = {}
    for row in lines[:rows]:
        half = (sheet.cell(row, at["tray"]).value, sheet.cell(row, at["method"]).value)
        truth = TRUTH[str(half[1])]
        total = 1.0 / SPREAD - 1.0
        if half not in takes:
            takes[half] = lot.beta(truth * total, (1 - truth) * total)
        made = {"grafted": cells} if "grafted" in at else {"understock caliper (mm)": "8,5"}
        typed = {
            "graft date": dt.date(2026, 1, 12),
            **made,
            "count date": dt.date(2026, 6, 16),
            "taken": int(lot.binomial(made.get("grafted", 1), takes[half])),
        }
        for name, value in typed.items():
            assert not sheet.cell(row, at[name]).protection.locked
            sheet.cell(row, at[name]).value = value
    book.save(path)


DAYS = {
    "later": dt.date(2026, 9, 1),
    "season end": dt.date(2026, 11, 2),
    "next spring": dt.date(2027, 4, 6),
}


def fill_later(
    path: Path, *counts: str, rows: int | None = None, day: dt.date | None = None
) -> dict[str, int]:
    """Type counts on their sheets: one graft of each tray is lost; return what is alive."""
    book = load_workbook(path)
    records, alive = book[RECORDS_SHEET], dict.fromkeys(counts, 0)
    top = next(row for row in (1, 2) if records.cell(row, 2).value)
    taken = next(cell.column for cell in records[top] if cell.value == "taken")
    for count in counts:
        sheet = book[COUNT_SHEETS[count]]
        at = {cell.value: cell.column for cell in sheet[top]}
        lost: set[object] = set()
        for row in range(top + 1, top + 1 + (rows or sheet.max_row - top)):
            before = int(records.cell(row, taken).value)
            tray = sheet.cell(row, at["tray"]).value
            now = before - 1 if before and tray not in lost else before
            lost |= {tray} if now < before else set()
            alive[count] += now
            for name, value in {"count date": day or DAYS[count], "alive": now}.items():
                assert not sheet.cell(row, at[name]).protection.locked
                sheet.cell(row, at[name]).value = value
    book.save(path)
    return alive
