"""The workbook beside a page: every table, told what it is, the same bytes each time."""

from __future__ import annotations

import io
import re
import zipfile

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.pages.parts import SeasonReport
from takestats.pages.tables_workbook import newest_count, sheet_names, tables_workbook
from takestats.wording.tables_workbook import CONTENTS


@pytest.fixture(scope="module")
def data(small_report: SeasonReport) -> bytes:
    return tables_workbook(small_report)


def test_every_table_has_its_sheet_and_contents_come_first(
    data: bytes, small_report: SeasonReport
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.sheetnames[0] == CONTENTS
    listed = list(book[CONTENTS].iter_rows(min_row=5, values_only=True))
    assert [row[0] for row in listed] == book.sheetnames[1:]
    assert len(listed) == len(small_report.tables)
    for (sheet, what, rows, beside), (name, table) in zip(
        listed, small_report.tables.items(), strict=True
    ):
        assert beside == f"tables/{name}.csv"
        assert what in small_report.table_notes[name]
        assert rows == len(table)
        shown = list(book[sheet].iter_rows(values_only=True))
        head = shown.index(tuple(str(column) for column in table.columns))
        assert len(shown) - head - 1 == len(table)


def test_every_sheet_says_first_that_the_data_are_invented(
    data: bytes, small_report: SeasonReport
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(data))
    for sheet in book:
        assert sheet["A1"].value == small_report.banner
        assert str(sheet["A1"].value).startswith("INVENTED DATA, seed 1")
    assert book.properties.description == small_report.banner


def test_links_of_the_contents_lead_to_sheets(data: bytes) -> None:
    book = openpyxl.load_workbook(io.BytesIO(data))
    links = [row[0].hyperlink for row in book[CONTENTS].iter_rows(min_row=5)]
    assert [link.location for link in links] == [f"'{name}'!A1" for name in book.sheetnames[1:]]


def test_no_sheet_holds_a_formula_and_no_part_tells_a_clock(
    data: bytes, small_report: SeasonReport
) -> None:
    day = newest_count(small_report)
    assert day.isoformat() == "2026-06-16"
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert packed.testzip() is None
        for entry in packed.infolist():
            assert entry.date_time == (2026, 6, 16, 0, 0, 0)
            text = packed.read(entry.filename).decode("utf-8")
            assert not re.search(r"<f[ >/]", text)
            assert set(re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z", text)) <= {"2026-06-16T00:00:00Z"}


def test_the_same_tables_give_the_same_bytes(data: bytes, small_report: SeasonReport) -> None:
    assert tables_workbook(small_report) == data


@given(st.lists(st.text(min_size=1, max_size=60), max_size=8, unique=True))
def test_sheet_names_are_short_harmless_and_each_there_once(names: list[str]) -> None:
    found = list(sheet_names([*names, "history", CONTENTS]).values())
    assert all(0 < len(name) <= 31 for name in found)
    assert len({name.lower() for name in found}) == len(found)
    assert not {name.lower() for name in found} & {CONTENTS, "history"}
    for name in found:
        assert not re.search(r"[\[\]:*?/\\]", name)
        assert not name.startswith("'")
        assert not name.endswith("'")
