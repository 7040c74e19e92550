"""How is a record workbook filled in by a script, as a grower would by hand?"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from takestats.records.workbook_layout import RECORDS_SHEET

ANSWERS = {
    "title": "Cleft or side veneer (invented for a test)",
    "question": "Which one takes better?",
    "compare": "method, scion wood, caliper class",
    "randomised": "tray",
    "record": "block, grafter, understock caliper, scion caliper, union height, bud break",
    "plants": "copper moth on virginiana = 100; grey sentry on hornbeam = 60",
    "names": "copper moth = Hamamelis x intermedia 'Copper Moth'; virginiana = Hamamelis "
    "virginiana; grey sentry = Carpinus betulus 'Grey Sentry'; hornbeam = Carpinus betulus",
    "tray_size": "30",
    "classes": "thin = 6 to 8 mm; stout = 8 to 10 mm",
    "later": "yes",
}
OPTIONS = [word for key, value in ANSWERS.items() for word in (f"--{key.replace('_', '-')}", value)]


def tray(number: int, *, counted: bool) -> dict[str, object]:
    """One invented tray, cell by cell as typed; calipers as fractions, names as they are."""
    cells: dict[str, object] = {
        "block": "3-4" if number % 2 else "1/2",
        "tray": f"{number}-4",
        "scion": "copper moth" if number % 3 else "grey sentry",
        "understock": "virginiana" if number % 3 else "hornbeam",
        "method": "cleft" if number % 2 else "side veneer",
        "scion_wood": "terminal" if number % 4 < 2 else "sub_terminal",
        "union_height_mm": "80",
        "understock_caliper_mm": "3/8 in" if number % 2 else "9,5",
        "scion_caliper_mm": "8",
        "caliper_class": "stout",
        "graft_date": dt.date(2026, 1, 5 + number % 20),
        "bud_break_date": dt.date(2026, 3, 24),
        "grafter": "AB",
        "grafted": 30,
    }
    if counted:
        cells |= {
            "count_date": dt.date(2026, 6, 16),
            "taken": 22 + number % 6,
            "understock_dead": 1,
            "missing": 0,
            "saleable": 20,
            "saleable_date": dt.date(2026, 9, 1),
        }
    return cells


def fill(path: Path, columns: Sequence[str], rows: Sequence[dict[str, object]]) -> Worksheet:
    """Type rows below the heading and save; nothing else of the workbook is touched."""
    book = load_workbook(path)
    sheet = book[RECORDS_SHEET]
    top = next(row for row in (1, 2) if sheet.cell(row, 2).value)
    for at, row in enumerate(rows, start=top + 1):
        for name, value in row.items():
            sheet.cell(at, columns.index(name) + 1).value = value
    book.save(path)
    return sheet
