"""Does a spreadsheet open the workbook of a page and find in it what was written?"""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from takestats.pages.parts import SeasonReport
from takestats.pages.tables_workbook import tables_workbook
from tests.office.conftest import Convert

TABLE = pd.DataFrame(
    {
        "tray": ["T01", '=HYPERLINK("x","y")', "+1", "_x0041_", "two\nlines"],
        "take_rate": [1 / 3, 0.1 + 0.2, 1.0, 0.0, None],
        "count_date": ["2026-06-16", "2026-06", None, "2026-01-01", "2026-12-31"],
    }
)


def test_numbers_days_and_texts_come_through_a_spreadsheet(
    convert: Convert, tmp_path: Path
) -> None:
    report = SeasonReport(
        page_name="season_page",
        title="t",
        banner="INVENTED DATA.",
        sentences=(),
        sections=(),
        tables={"trays": TABLE},
        table_notes={"trays": "a note"},
        notes=(),
    )
    written = tmp_path / "season_tables.xlsx"
    written.write_bytes(tables_workbook(report))
    saved = convert([written], "xlsx")[0]
    sheet = openpyxl.load_workbook(saved)["trays"]
    rows = list(sheet.iter_rows(min_row=4, values_only=True))
    assert [row[0] for row in rows] == list(TABLE["tray"])
    # LibreOffice itself saves 15 digits.
    assert [row[1] for row in rows[:4]] == pytest.approx(list(TABLE["take_rate"][:4]), abs=1e-15)
    assert rows[0][2].date().isoformat() == "2026-06-16"
    assert rows[1][2] == "2026-06"
    assert {sheet.cell(row, 1).data_type for row in range(4, 9)} == {"s"}
