"""Does the workbook of a layout come back from LibreOffice as the layout that was drawn?"""

from __future__ import annotations

from pathlib import Path

from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

import takestats as ts
from takestats.pages.bench_asked import layout_of_settings
from takestats.records.settings import read_trial
from takestats.records.workbook_layout import RECORDS_SHEET
from tests.office.conftest import Convert
from tests.pages.filled_layout import SETTINGS, fill_counts, rows_of_sheet


def test_a_layout_comes_back_whole_locked_and_recognised(tmp_path: Path, convert: Convert) -> None:
    split = {**SETTINGS, "bench": {**SETTINGS["bench"], "split_trays": True}}
    filled = []
    for name, given in (("whole", SETTINGS), ("split", split)):
        trial = read_trial(given)
        path = ts.write_bench(layout_of_settings(trial), tmp_path / name, trial=trial)[0]
        fill_counts(path)
        filled.append(path.rename(tmp_path / f"{name}.xlsx"))
    for before, after in zip(filled, convert(filled, "xlsx"), strict=True):
        records = ts.read_records(after)
        assert records.problems.empty
        assert records.layout == "matches"
        assert records.trays.equals(ts.read_records(before).trays)
        assert rows_of_sheet(after) == rows_of_sheet(before)
        sheet, was = (load_workbook(path)[RECORDS_SHEET] for path in (after, before))
        assert sheet.protection.sheet
        locked = [[cell.protection.locked for cell in row] for row in sheet["A3:L34"]]
        assert locked == [[cell.protection.locked for cell in row] for row in was["A3:L34"]]
        assert {True, False} <= {cell for row in locked for cell in row}
        asked, kept = rules(was), rules(sheet)
        assert len(asked) > 5
        assert {where: kind for where, (kind, _) in kept.items()} == {
            where: kind for where, (kind, _) in asked.items()
        }
        assert min(last for _, last in kept.values()) >= 34  # every tray is still checked


def rules(sheet: Worksheet) -> dict[str, tuple[str, int]]:
    """The checks of cells: where each begins, its kind, and its last row."""
    return {
        str(rule.sqref).split(":")[0]: (rule.type, max(part.max_row for part in rule.sqref.ranges))
        for rule in sheet.data_validations.dataValidation
        if rule.type
    }
