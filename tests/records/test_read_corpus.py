"""Messy files, each with every fault and every change that it must give, cell by cell.

``corpus/expected.txt`` was written out once by the program and then proof-read line
by line against what was typed; it changes only by hand.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from takestats.errors import RecordsError
from takestats.records.files import read_file
from takestats.records.headers import find_header
from takestats.records.problems import plain
from tests.records.cell_by_cell import Place, hold_cell_by_cell
from tests.records.corpus.cases import BOOK_CASES, CASES, TEXT_CASES, Case
from tests.records.corpus.make_corpus import write
from tests.records.corpus.told import HERE, read_case, told

EXPECTED = (HERE / "expected.txt").read_text("utf-8")
BY_NAME = {part.split(":", 1)[0]: f"== {part.strip()}" for part in EXPECTED.split("\n== ")[1:]}
every_case = pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])


def test_the_corpus_is_large_enough() -> None:
    names = {case.name for case in CASES}
    assert len(names) == len(CASES) >= 40
    assert sum(name.endswith(".xlsx") for name in names) >= 10
    assert sum(case.made_with.startswith("office") for case in CASES) >= 5
    assert {p.name for p in HERE.iterdir() if p.suffix in (".csv", ".tsv", ".xlsx")} == names
    assert set(BY_NAME) == names


@every_case
def test_each_file_gives_its_faults_and_changes_and_no_others(case: Case) -> None:
    assert told(case).strip() == BY_NAME[case.name]


@pytest.mark.parametrize("case", TEXT_CASES, ids=[case.name for case in TEXT_CASES])
def test_the_files_of_text_are_those_of_the_recipe(case: Case, tmp_path: Path) -> None:
    assert write(case, tmp_path).read_bytes() == (HERE / case.name).read_bytes()


PLAIN_BOOKS = [case for case in BOOK_CASES if case.made_with == "openpyxl"]


@pytest.mark.parametrize("case", PLAIN_BOOKS, ids=[case.name for case in PLAIN_BOOKS])
def test_the_workbooks_have_the_cells_of_the_recipe(case: Case, tmp_path: Path) -> None:
    made = read_file(write(case, tmp_path), case.name, None)
    kept = read_file(HERE / case.name, case.name, None)
    assert [one.rows for one in made.sheets] == [one.rows for one in kept.sheets]
    assert made.settings == kept.settings


def typed_cells(case: Case) -> dict[Place, str]:
    """Every cell by sheet, row and header, read without the rules of the package."""
    if case.name.endswith(".xlsx"):
        sheets = {one.sheet: one.rows for one in read_file(HERE / case.name, "", case.sheet).sheets}
    else:
        text = case.text
        separator = next(s for s in "\t;," if s in text.splitlines()[-1])
        sheets = {"": [list(row) for row in csv.reader(io.StringIO(text), delimiter=separator)]}
    cells: dict[Place, str] = {}
    for sheet, rows in sheets.items():
        found = find_header(rows)
        if found is None:
            continue
        at, headers = found
        for number, row in enumerate(rows[at + 1 :], start=at + 2):
            for header, cell in zip(headers, row, strict=False):
                cells[sheet, number, header.name] = plain(cell)
    return cells


@every_case
def test_nothing_is_changed_without_a_line_that_says_so(case: Case) -> None:
    """Cell by cell: as typed, or one line in changes with the text typed and what it became."""
    try:
        records = read_case(case, set_aside=True)
    except RecordsError:
        return  # no row could be used, so none was changed
    hold_cell_by_cell(records, typed_cells(case))
