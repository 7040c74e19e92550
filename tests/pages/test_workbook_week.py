"""Does the first sheet of a workbook hold plain formulas, and is it never read as records?

What the formulas come to is asked of a spreadsheet in tests/office/test_bench_workbook.py.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import takestats as ts
from takestats.pages.bench_asked import layout_of_settings
from takestats.pages.bench_workbook import layout_book
from takestats.pages.workbook import record_workbook
from takestats.pages.workbook_plan import first_book
from takestats.records.settings import read_trial
from takestats.records.workbook_layout import HOW_TO_SHEET, RECORDS_SHEET, WEEK_SHEET
from takestats.wording import workbook_week as words
from tests.pages.filled_layout import SETTINGS, fill_counts

KNOWN = {"COUNTIF", "COUNTIFS", "SUM", "SUMIFS", "MAX", "IF", "IFERROR", "N", "TODAY", "TRIM",
         "VALUE", "SUBSTITUTE", "WEEKDAY", "ISNUMBER"}  # fmt: skip
"""Functions that every spreadsheet of the last twenty years has (from memory)."""


def bench_book(**bench: Any) -> bytes:
    trial = read_trial({**SETTINGS, "bench": {**SETTINGS["bench"], **bench}})
    return record_workbook(layout_book(layout_of_settings(trial), trial))


def formulas(data: bytes) -> list[str]:
    sheet = load_workbook(io.BytesIO(data))[WEEK_SHEET]
    cells = [cell.value for row in sheet.iter_rows() for cell in row]
    return [value for value in cells if isinstance(value, str) and value.startswith("=")]


@pytest.mark.parametrize("bench", [{}, {"split_trays": True}, {"rows": "graft"}])
def test_formulas_are_plain_and_hold_no_value_that_could_be_old(bench: dict[str, Any]) -> None:
    data = bench_book(**bench)
    found = formulas(data)
    assert len(found) > 20
    used = {name for formula in found for name in re.findall(r"([A-Z]+)\(", formula)}
    assert used <= KNOWN
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        first = archive.read("xl/worksheets/sheet1.xml").decode()
    assert first.count("<f>") == len(found)
    assert not re.search(r"</f><v>[^<]", first)
    assert max(map(len, found)) < 8192  # the longest formula a sheet holds (from memory)


def test_it_stands_first_and_only_its_day_can_be_typed_over() -> None:
    book = load_workbook(io.BytesIO(bench_book()))
    assert book.sheetnames[:5] == [
        WEEK_SHEET, RECORDS_SHEET, "later count", "season end", "next spring",
    ]  # fmt: skip
    sheet = book[WEEK_SHEET]
    assert sheet.protection.sheet
    free = [cell for row in sheet.iter_rows() for cell in row if not cell.protection.locked]
    assert [cell.value for cell in free] == ["=TODAY()"]
    assert sheet.cell(free[0].row, 1).value == words.DAY


def test_every_tray_of_the_layout_is_listed_once_in_its_place() -> None:
    trial = read_trial(SETTINGS)
    layout = layout_of_settings(trial)
    for split in (False, True):
        sheet = load_workbook(io.BytesIO(bench_book(split_trays=split)))[WEEK_SHEET]
        rows = list(sheet.iter_rows(values_only=True))
        start = next(i for i, row in enumerate(rows) if row[:2] == ("code", "place"))
        listed = [row[:2] for row in rows[start + 1 :] if row[2]]
        assert len(listed) == len({code for code, _ in listed}) == (16 if split else 32)
    places = layout.table[["tray", "block", "position"]].iloc[0]
    whole = load_workbook(io.BytesIO(bench_book()))[WEEK_SHEET]
    told = {row[0]: row[1] for row in whole.iter_rows(values_only=True)}
    assert told[places["tray"]] == f"{places['block']}, place {places['position']}"


def test_the_same_bytes_whatever_the_day() -> None:
    assert bench_book() == bench_book()
    assert str(dt.date.today().year) not in "".join(formulas(bench_book()))


def test_it_is_never_read_as_records(tmp_path: Path) -> None:
    """Also where the how-to sheet, which carries the mark as well, was taken out."""
    path = tmp_path / "records.xlsx"
    path.write_bytes(bench_book())
    fill_counts(path)
    before = ts.read_records(path)
    assert not [note for note in before.notes if WEEK_SHEET in note]
    book = load_workbook(path)
    del book[HOW_TO_SHEET]
    book.save(tmp_path / "less.xlsx")
    assert ts.read_records(tmp_path / "less.xlsx").trays.equals(before.trays)


def test_a_workbook_of_start_tallies_lines_and_plants_wanted() -> None:
    book = first_book({"plants": "moth on virginiana = 1200; grey sentry = 60"})
    sheet = load_workbook(io.BytesIO(record_workbook(book)))[WEEK_SHEET]
    rows = list(sheet.iter_rows(values_only=True))
    named = {row[0]: row for row in rows if row[0]}
    assert named["moth"][1:3] == ("virginiana", 1200)
    assert named["grey sentry"][1:3] == (None, 60)
    assert 'records!$C$2:$C$5001,"="&$B' in str(named["moth"][3])  # the understock
    assert "$C$2" not in str(named["grey sentry"][3])
    assert words.LINES_DUE in named
    assert words.DUE not in named
    assert any(str(row[0]).startswith("The settled count is due 20 weeks") for row in rows)


def test_when_a_count_of_its_own_is_due_must_be_set() -> None:
    trial = read_trial({**SETTINGS, "records": {"count": "next spring"}})
    book = layout_book(layout_of_settings(trial), trial)
    assert "next spring" in book.layout.counts
    sheet = load_workbook(io.BytesIO(record_workbook(book)))[WEEK_SHEET]
    told = " ".join(str(row[0]) for row in sheet.iter_rows(values_only=True))
    assert "When the next spring count is due is not known" in told
