"""What a workbook hides is read and said; what is merged over records is refused."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import openpyxl
import pytest

from takestats.errors import FileError, RecordsError
from takestats.records.read import read_records

HEAD = ["tray", "method", "grafted", "taken"]


def book(rows: list[list[object]]) -> openpyxl.Workbook:
    made = openpyxl.Workbook()
    assert made.active is not None
    made.active.title = "bench"
    for row in rows:
        made.active.append(row)
    return made


ROWS: list[list[object]] = [HEAD, *[[f"T{n}", "cleft", 20, 10 + n] for n in range(1, 6)]]


def test_hidden_rows_columns_and_sheets_are_read_and_said(tmp_path: Path) -> None:
    made = book(ROWS)
    made["bench"].row_dimensions[3].hidden = True
    made["bench"].row_dimensions[5].hidden = True
    made["bench"].column_dimensions["B"].hidden = True
    more = made.create_sheet("more")
    for row in (HEAD, ["T9", "cleft", 20, 9]):
        more.append(row)
    more.sheet_state = "hidden"
    made.save(tmp_path / "b.xlsx")
    records = read_records(tmp_path / "b.xlsx")
    assert len(records.trays) == 6
    assert set(records.notes) >= {
        "b.xlsx, sheet bench: 2 hidden rows (3, 5), read like the others.",
        "b.xlsx, sheet bench: some columns are hidden; they are read like the others.",
        "b.xlsx, sheet more: the sheet is hidden; it is read like the others.",
    }


def test_the_notes_stand_at_the_right_sheet_whatever_the_order_of_the_parts(tmp_path: Path) -> None:
    made = book(ROWS)
    other = made.create_sheet("other")
    for row in (HEAD, ["T9", "cleft", 20, 9], ["T10", "cleft", 20, 9]):
        other.append(row)
    made["bench"].row_dimensions[2].hidden = True
    made.save(tmp_path / "a.xlsx")
    with (
        zipfile.ZipFile(tmp_path / "a.xlsx") as old,
        zipfile.ZipFile(tmp_path / "b.xlsx", "w") as new,
    ):
        for name in old.namelist():
            text = old.read(name)
            if name == "xl/workbook.xml":  # the second part is the first sheet
                first, second = re.findall(rb"<sheet [^>]*/>", text)
                text = text.replace(first + second, second + first)
                assert text != old.read(name)
            new.writestr(name, text)
    notes = [note for note in read_records(tmp_path / "b.xlsx").notes if "hidden" in note]
    assert notes == ["b.xlsx, sheet bench: 1 hidden row (2), read like the others."]


def test_a_header_merged_over_filled_columns_is_refused(tmp_path: Path) -> None:
    made = book([["tray", "method", "grafted", None, "taken"], ["T1", "cleft", 20, 5, 17]])
    made["bench"].merge_cells("C1:D1")
    made.save(tmp_path / "b.xlsx")
    with pytest.raises(FileError) as told:
        read_records(tmp_path / "b.xlsx")
    assert told.value.where == "b.xlsx, sheet bench, row 1"
    assert told.value.what == 'the header "grafted" is merged over columns C to D'


def test_a_header_merged_down_from_above_is_refused(tmp_path: Path) -> None:
    made = book([["tray", "counts"], [None, "grafted", "taken", "method"], ["T1", 20, 17, "cleft"]])
    made["bench"].merge_cells("A1:A2")
    made.save(tmp_path / "b.xlsx")
    with pytest.raises(FileError) as told:
        read_records(tmp_path / "b.xlsx")
    assert told.value.what == 'the header "tray" is merged over rows 1 to 2'


def test_a_title_merged_above_and_a_header_merged_over_blanks_do_no_harm(tmp_path: Path) -> None:
    made = book([["Bench 2026"], [*HEAD, "note", None], *ROWS[1:]])
    made["bench"].merge_cells("A1:F1")
    made["bench"].merge_cells("E2:F2")
    made.save(tmp_path / "b.xlsx")
    assert len(read_records(tmp_path / "b.xlsx").trays) == 5


def test_formulas_saved_without_their_results_are_told_cell_by_cell(tmp_path: Path) -> None:
    made = book([HEAD, ["T1", "cleft", 20, "=C2-3"], ["T2", "cleft", 20, 17]])
    made.save(tmp_path / "b.xlsx")
    with pytest.raises(RecordsError) as told:
        read_records(tmp_path / "b.xlsx")
    assert told.value.problems[["sheet", "row", "column", "value"]].to_numpy().tolist() == [
        ["bench", 2, "taken", "=C2-3"]
    ]
