"""Is the record workbook whole, the same each time, and read back as it was written?"""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.datavalidation import DataValidation

from takestats.pages.workbook import LINES_CHECKED, LINES_READY, RecordBook, record_workbook
from takestats.pages.workbook_plan import first_book
from takestats.records.columns import COLUMNS
from takestats.records.read import read_records
from takestats.records.workbook_layout import SHEETS, layout_of, workbook_mark

ALL = tuple(column.name for column in COLUMNS)
ANSWERS = {
    "compare": "method, scion wood",
    "record": "understock caliper, scion caliper, caliper match",
    "tray_size": "30",
    "later": "yes",
}


def opened(book: RecordBook) -> Any:
    return load_workbook(io.BytesIO(record_workbook(book)))


def rule_of(sheet: Any, heading: str) -> DataValidation:
    letter = next(cell.column_letter for cell in sheet[1] if cell.value == heading)
    return next(
        rule
        for rule in sheet.data_validations.dataValidation
        if str(rule.sqref).startswith(f"{letter}2:")
    )


def test_the_same_book_gives_the_same_bytes_without_a_clock() -> None:
    book = first_book(ANSWERS)
    data = record_workbook(book)
    assert data == record_workbook(first_book(dict(reversed(ANSWERS.items()))))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(2000, 1, 1, 0, 0, 0)}
        core = archive.read("docProps/core.xml").decode()
        assert core.count("2000-01-01T00:00:00Z") == 2
        assert str(dt.date.today().year) not in core
        assert not [name for name in archive.namelist() if "vba" in name.lower()]


def test_its_sheets_headings_and_mark() -> None:
    book = first_book(ANSWERS)
    made = opened(book)
    assert tuple(made.sheetnames) == SHEETS
    sheet = made["records"]
    assert tuple(cell.value for cell in sheet[1]) == book.layout.headings
    assert sheet.freeze_panes == "B2"
    assert sheet.print_title_rows == "$1:$1"
    assert sheet.print_area.endswith(f"${LINES_READY + 1}")
    assert made["lists"].sheet_state == "hidden"
    rows = {name: list(made[name].values) for name in made.sheetnames}
    assert workbook_mark(rows) == book.layout.mark


def test_text_cells_and_dates_reach_below_the_ready_lines() -> None:
    sheet = opened(first_book(ANSWERS))["records"]
    formats = {cell.value: cell.column_letter for cell in sheet[1]}
    for heading, form in {
        "tray": "@",
        "understock caliper (mm)": "@",
        "scion wood": "@",
        "graft date": "d mmm yyyy",
        "grafted": "0",
    }.items():
        letter = formats[heading]
        assert sheet[f"{letter}{LINES_READY}"].number_format == form
        assert sheet.column_dimensions[letter].number_format == form
    assert LINES_CHECKED > LINES_READY


def test_closed_words_are_refused_and_own_words_are_asked_about() -> None:
    sheet = opened(first_book(ANSWERS))["records"]
    for heading, style in {
        "scion wood": "stop",
        "caliper match": "stop",
        "method": "warning",
    }.items():
        rule = rule_of(sheet, heading)
        assert (rule.type, rule.errorStyle, rule.showErrorMessage) == ("list", style, True)
        assert rule.error
        assert not rule.showDropDown  # this flag hides the arrow


def test_numbers_and_dates_have_limits() -> None:
    sheet = opened(first_book(ANSWERS))["records"]
    grafted = rule_of(sheet, "grafted")
    assert (grafted.type, grafted.formula1, grafted.formula2) == ("whole", "1", "30")
    date = rule_of(sheet, "graft date")
    assert (date.type, date.errorStyle) == ("date", "warning")
    later = rule_of(sheet, "later count date")
    count = next(cell.column_letter for cell in sheet[1] if cell.value == "count date")
    assert f"N(${count}2)" in later.formula1
    for heading in ("taken", "understock dead", "missing", "saleable", "alive later"):
        assert rule_of(sheet, heading).type == "custom"


def test_a_rule_that_looks_at_other_cells_does_not_pass_over_blanks() -> None:
    """With "ignore blank" a blank "missing" would let 31 of 30 pass."""
    sheet = opened(first_book(ANSWERS))["records"]
    for heading in ("taken", "understock dead", "missing", "saleable", "count date"):
        assert not rule_of(sheet, heading).allowBlank, heading
    for heading in ("grafted", "graft date", "scion wood", "method"):
        assert rule_of(sheet, heading).allowBlank, heading


@pytest.mark.parametrize("columns", [ALL, ("graft", "method"), ()])
def test_messages_fit_what_a_spreadsheet_takes(columns: tuple[str, ...]) -> None:
    """Titles to 32 characters, messages to 255 (ECMA-376 part 1, 18.3.1.32: ST_Xstring limits
    as spreadsheets apply them; from memory)."""
    book = RecordBook(file="records.xlsx", layout=layout_of(columns), settings=())
    rules = opened(book)["records"].data_validations.dataValidation
    assert len(rules) == len(book.layout.columns)
    for rule in rules:
        assert len(rule.promptTitle) <= 32
        assert 0 < len(rule.prompt) <= 255
        assert len(rule.error or "") <= 255
        assert len(rule.formula1 or "") <= 255


def test_one_row_per_graft_takes_one_or_nought() -> None:
    layout = layout_of(["graft"])
    only_grafts = tuple(name for name in layout.columns if name != "grafted")
    book = RecordBook(
        file="x.xlsx",
        layout=type(layout)(columns=only_grafts),
        settings=(),
    )
    rule = rule_of(opened(book)["records"], "taken")
    assert (rule.type, rule.formula1, rule.formula2) == ("whole", "0", "1")


def test_rows_given_beforehand_are_locked_and_read_back(tmp_path: Path) -> None:
    """What a layout of the bench needs: identities stand, counts are open."""
    rows = tuple(
        {"tray": f"=T{i}", "method": "cleft", "grafted": 30, "taken": None} for i in range(1, 4)
    )
    book = RecordBook(
        file="bench.xlsx",
        layout=layout_of(["method"]),
        settings=(("title", "Bench"), ("trial.randomised", "tray")),
        rows=rows,
        locked=("tray", "method"),
        banner="INVENTED DATA, seed 1.",
    )
    made = opened(book)
    sheet = made["records"]
    assert sheet["A1"].value == "INVENTED DATA, seed 1."
    assert sheet.protection.sheet
    locked = {cell.value: sheet.cell(3, cell.column).protection.locked for cell in sheet[2]}
    assert locked["tray"]
    assert locked["method"]
    assert not locked["taken"]
    assert sheet["A3"].data_type == "s"  # a name that begins like a formula stays text
    assert made["how to"]["B1"].value == "INVENTED DATA, seed 1."
    path = tmp_path / "bench.xlsx"
    with_names = RecordBook(
        file="bench.xlsx",
        layout=book.layout,
        settings=book.settings,
        rows=tuple({**row, "tray": str(row["tray"])[1:]} for row in rows),
    )
    path.write_bytes(record_workbook(with_names))
    records = read_records(path)
    assert records.trays["tray"].tolist() == ["T1", "T2", "T3"]
    assert records.trial.trial["randomised"] == "tray"
    assert not records.trays["counted"].any()
    assert records.problems.empty


def test_how_to_names_the_file_the_text_cells_and_the_cautions() -> None:
    words = [row[1] for row in opened(first_book(ANSWERS))["how to"].values if row[1]]
    text = "\n".join(words)
    assert "takestats check records.xlsx" in text
    assert "tray, understock caliper (mm) and scion caliper (mm)" in text
    for caution in ("Knives", "Sealants", "Protected cultivars", "plant health"):
        assert caution in text
    assert 10 <= next(i for i, word in enumerate(words) if word == "Take care") - 1 <= 13


def test_every_setting_row_says_what_it_means() -> None:
    sheet = opened(first_book(ANSWERS))["trial"]
    keys = [row[0] for row in sheet.values][1:]
    explained = {str(rule.sqref) for rule in sheet.data_validations.dataValidation if rule.prompt}
    for row, key in enumerate(keys, start=2):
        free = key.split(".")[0] in ("names", "targets", "classes", "methods")
        assert free or f"B{row}" in explained, key
