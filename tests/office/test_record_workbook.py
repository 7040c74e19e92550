"""Does a record workbook come back whole from LibreOffice, and is it checked there as here?

LibreOffice stands for any spreadsheet that a grower may use: it opens the workbook,
recalculates it and saves it again, as .xlsx and by way of its own format.
"""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from takestats.cli.app import main
from takestats.pages.workbook_plan import first_book
from takestats.records.read import read_records
from takestats.records.workbook_layout import RECORDS_SHEET
from tests.office.conftest import Convert, stop_or_skip
from tests.office.filled import ANSWERS, OPTIONS, fill, tray

FILLED = {"empty": 0, "half": 3, "full": 12}
COUNTS = [
    ({"grafted": 30, "taken": 30}, True),
    ({"grafted": 30, "taken": 31}, False),
    ({"grafted": 30, "taken": 28, "understock_dead": 2}, True),
    ({"grafted": 30, "taken": 28, "understock_dead": 2, "missing": 1}, False),
    ({"grafted": 30, "taken": 2.5}, False),
    ({"grafted": 30, "taken": -1}, False),
    ({"grafted": 30, "taken": "38?"}, False),
    ({"taken": 5}, False),
    ({"grafted": 30, "taken": 0}, True),
]
"""Counts of a row, and whether the rule of `taken` lets them pass."""


@dataclass(frozen=True)
class Books:
    """Workbooks as filled in, and as LibreOffice gave them back."""

    columns: list[str]
    filled: dict[str, Path]
    back: dict[tuple[str, str], Path]
    pdf: Path
    csv: Path


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory, convert: Convert) -> Books:
    """Three workbooks as `takestats start` writes them, filled in, and saved again."""
    folder = tmp_path_factory.mktemp("bench")
    assert main(["start", str(folder), *OPTIONS, "--no-questions"]) == 0
    new = folder / "records.xlsx"
    columns = list(first_book(ANSWERS).layout.columns)
    filled = {}
    for name, trays in FILLED.items():
        filled[name] = folder / f"{name}.xlsx"
        shutil.copy(new, filled[name])
        rows = [tray(number, counted=name == "full") for number in range(1, trays + 1)]
        fill(filled[name], columns, rows)
    names, paths = list(filled), list(filled.values())
    back = {("xlsx", n): p for n, p in zip(names, convert(paths, "xlsx"), strict=True)}
    own = convert(convert(paths, "ods"), "xlsx")
    back |= {("ods", n): p for n, p in zip(names, own, strict=True)}
    asked = asked_of_office(new, folder / "asked.xlsx", columns)
    return Books(
        columns, filled, back, convert([filled["full"]], "pdf")[0], convert([asked], "csv")[0]
    )


def asked_of_office(new: Path, asked: Path, columns: list[str]) -> Path:
    """Put the rule of `taken` into a cell of each row, as a formula."""
    shutil.copy(new, asked)
    fill(asked, columns, [cells for cells, _ in COUNTS])
    book = load_workbook(asked)
    sheet = book[RECORDS_SHEET]
    letters = {name: sheet.cell(1, at).column_letter for at, name in enumerate(columns, start=1)}
    rule = next(
        rule
        for rule in sheet.data_validations.dataValidation
        if str(rule.sqref).startswith(f"{letters['taken']}2:")
    )
    assert (rule.type, rule.errorStyle) == ("custom", "stop")
    for row in range(2, len(COUNTS) + 2):
        moved = rule.formula1
        for name in ("grafted", "taken", "understock_dead", "missing"):
            moved = moved.replace(f"${letters[name]}2", f"${letters[name]}{row}")
        sheet.cell(row, 60).value = f"={moved}"
    book.move_sheet(sheet, -book.index(sheet))  # as text, LibreOffice writes the first sheet
    book.save(asked)
    return asked


def checked(path: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    assert main(["check", str(path), "--json", "--on", "2026-07-01"]) == 0
    said: dict[str, Any] = json.loads(capsys.readouterr().out)
    return said


def rules(sheet: Worksheet) -> dict[str, tuple[str, ...]]:
    """What is checked in the first line of each column: kind, limits, how it is refused."""
    found = {}
    for rule in sheet.data_validations.dataValidation:
        if rule.type not in (None, "none"):
            both = [rule.formula1] + [rule.formula2] * (rule.type in ("date", "whole"))
            limits = [str(f).replace(" ", "").replace("$", "") for f in both]
            limits = [limit.replace("FALSE)", "0)") for limit in limits]  # as LibreOffice says it
            column = str(rule.sqref).split(":")[0].rstrip("0123456789")
            found[column] = (rule.type, *limits, rule.errorStyle or "stop")
    return found


@pytest.mark.parametrize("by_way_of", ["xlsx", "ods"])
@pytest.mark.parametrize("name", list(FILLED))
def test_it_comes_back_and_is_checked_clean(
    books: Books, name: str, by_way_of: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Empty, half filled, filled: no fault, no query, nothing read otherwise but short names.

    The frozen heading is a matter of the window, which LibreOffice does not keep when
    it has none; every rule of the cells is kept.
    """
    back = books.back[by_way_of, name]
    said = checked(back, capsys)
    assert said["problems"] == []
    assert len(said["trays"]) == FILLED[name]
    before = load_workbook(books.filled[name])[RECORDS_SHEET]
    assert before.freeze_panes == "C2"
    assert rules(load_workbook(back)[RECORDS_SHEET]) == rules(before)
    assert len(rules(before)) >= 12
    if not FILLED[name]:
        assert [row["left"] for row in said["wanted"]] == [100, 60]
        return
    records = read_records(back)
    assert records.trays["tray"].tolist() == [f"{i}-4" for i in range(1, FILLED[name] + 1)]
    assert set(records.trays["understock_caliper_mm"]) == {9.525, 9.5}
    assert records.trial.trial["randomised"] == "tray"
    assert {(change["column"], change["why"]) for change in said["changes"]} <= {
        ("scion", "short name"),
        ("understock", "short name"),
        ("understock_caliper_mm", "in mm"),
    }


def test_office_itself_says_yes_and_no_where_the_rule_of_taken_does(books: Books) -> None:
    lines = list(csv.reader(books.csv.read_text("utf-8").splitlines()))
    told = [line[59] for line in lines[1 : len(COUNTS) + 1]]
    assert told == [str(passes).upper() for _, passes in COUNTS]


def test_drop_down_lists_hold_the_words(books: Books) -> None:
    book = load_workbook(books.back["xlsx", "empty"])
    sheet = book[RECORDS_SHEET]
    offered = {}
    for rule in sheet.data_validations.dataValidation:
        if rule.type == "list":
            at = str(rule.sqref).split(":")[0].rstrip("0123456789")
            name, cells = str(rule.formula1).replace("$", "").split("!")
            words = [cell.value for (cell,) in book[name.strip("'")][cells]]
            offered[books.columns[sheet[f"{at}1"].column - 1]] = words
    assert offered["scion_wood"] == ["terminal", "sub_terminal", "basal"]
    assert offered["method"][:2] == ["cleft", "side veneer"]
    assert offered["scion"] == ["copper moth", "grey sentry"]
    assert offered["understock"] == ["virginiana", "hornbeam"]
    assert offered["caliper_class"] == ["thin", "stout"]


def test_it_prints_on_a4_with_its_headings_and_cautions(books: Books) -> None:
    if shutil.which("pdftotext") is None:
        stop_or_skip("no pdftotext on this machine (Debian: apt-get install poppler-utils)")
    words = subprocess.run(
        ["pdftotext", "-layout", str(books.pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    pages = words.split("\f")
    assert pages[0].startswith("This week")
    assert "12-4" in pages[1]
    assert "note" in pages[1]  # the last column is on the first page of records
    assert "How to keep these records" in words
    assert "Knives" in words
    assert "#" not in words  # no cell too narrow for its date
    assert 4 <= len(pages) <= 12
