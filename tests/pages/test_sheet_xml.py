"""One sheet: nothing lost, nothing that runs, fast.

What is written by hand here is read back by openpyxl, and the XML itself is looked at.
"""

from __future__ import annotations

import datetime as dt
import io
import math
import time
import zipfile
from xml.etree import ElementTree

import numpy as np
import openpyxl
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from takestats.pages.csv_tables import csv_bytes
from takestats.pages.parts import SeasonReport
from takestats.pages.sheet_xml import MOST_CHARACTERS, Texts, column_letters, sheet_xml
from takestats.pages.tables_workbook import tables_workbook
from takestats.wording.tables_workbook import CUT_MARK, UNSHOWN, UNSHOWN_NOTE, cut_note

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
FORMULAS = ['=HYPERLINK("x","y")', "+cmd|' /C calc'!A0", "-1+2", "@SUM(A1)", "\t=1", "  =1", "'=1"]


def book_of(table: pd.DataFrame, name: str = "t") -> bytes:
    return tables_workbook(
        SeasonReport(
            page_name="season_page",
            title="t",
            banner="",
            sentences=(),
            sections=(),
            tables={name: table},
            table_notes={name: "a note"},
            notes=(),
        )
    )


def sheet_of(data: bytes) -> Worksheet:
    return openpyxl.load_workbook(io.BytesIO(data)).worksheets[1]


def part(data: bytes, name: str) -> str:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return packed.read(name).decode("utf-8")


def test_numbers_keep_every_digit_and_stay_numbers() -> None:
    values = [1 / 3, 0.1 + 0.2, 5e-324, -1.7e308, 30.0]
    sheet = sheet_of(book_of(pd.DataFrame({"take_rate": values, "trays": [3, 4, 5, 6, 7]})))
    assert [sheet.cell(row, 1).value for row in range(3, 8)] == values
    assert [sheet.cell(row, 2).value for row in range(3, 8)] == [3, 4, 5, 6, 7]
    assert {sheet.cell(row, column).data_type for row in range(3, 8) for column in (1, 2)} == {"n"}


def test_what_is_missing_is_blank_and_no_bound_is_said() -> None:
    table = pd.DataFrame(
        {
            "high": [math.nan, math.inf, -math.inf],
            "name": [None, pd.NA, ""],
            "counted": [True, False, True],
            "buds": pd.array([1, None, 3], dtype="Int64"),
            "mixed": [np.int64(2), np.float64(0.5), "x"],
        }
    )
    rows = list(sheet_of(book_of(table)).iter_rows(min_row=3, values_only=True))
    assert rows == [
        (None, None, "yes", 1, 2),
        ("no upper bound", None, "no", None, 0.5),
        ("no lower bound", None, "yes", 3, "x"),
    ]


def test_days_are_days_and_a_month_stays_as_it_was_typed() -> None:
    table = pd.DataFrame(
        {
            "count_date": ["2026-06-16", "2026-06", "2026-02-31", None],
            "seen": pd.to_datetime(["2026-06-16T00:00", "2026-06-16T14:30", None, None]),
            "note": ["2026-06-16"] * 4,
        }
    )
    sheet = sheet_of(book_of(table))
    days = [sheet.cell(row, 1).value for row in range(3, 7)]
    assert days == [dt.datetime(2026, 6, 16), "2026-06", "2026-02-31", None]
    assert sheet["A3"].number_format == r"yyyy\-mm\-dd"
    assert sheet["B4"].value == dt.datetime(2026, 6, 16, 14, 30)
    assert sheet["C3"].value == "2026-06-16"


@pytest.mark.parametrize("text", FORMULAS)
def test_a_text_that_looks_like_a_formula_is_text(text: str) -> None:
    data = book_of(pd.DataFrame({text: [text]}))
    sheet = sheet_of(data)
    assert (sheet["A3"].value, sheet["A3"].data_type) == (text, "s")
    assert (sheet["A2"].value, sheet["A2"].data_type) == (text, "s")
    assert sheet["A3"].style.startswith("Normal")
    assert sheet["A3"].quotePrefix
    root = ElementTree.fromstring(part(data, "xl/worksheets/sheet2.xml"))
    assert not list(root.iter(f"{MAIN}f"))
    assert {cell.get("t") for cell in root.iter(f"{MAIN}c")} == {"s"}


@given(st.lists(st.text(), min_size=1, max_size=4))
def test_any_text_at_all_gives_a_sheet_without_a_formula_that_can_be_read(texts: list[str]) -> None:
    data = book_of(pd.DataFrame({"note": pd.Series(texts, dtype=object)}))
    root = ElementTree.fromstring(part(data, "xl/worksheets/sheet2.xml"))
    assert not list(root.iter(f"{MAIN}f"))
    sheet = sheet_of(data)
    first = 4 if sheet["A2"].value == UNSHOWN_NOTE else 3
    for row, text in enumerate(texts, start=first):
        kept = text.replace("\r\n", "\n").replace("\r", "\n")
        read = sheet.cell(row, 1).value or ""
        assert len(read) == len(kept) or "_x" in text
        assert all(a in (b, UNSHOWN) for a, b in zip(read, kept, strict=False)) or "_x" in text


def test_a_sign_that_no_sheet_can_hold_is_seen_to_be_gone() -> None:
    sheet = sheet_of(book_of(pd.DataFrame({"note": ["T\x0001\x1b", "lone \ud800"]}, dtype=object)))
    assert sheet["A2"].value == UNSHOWN_NOTE
    assert sheet["A4"].value == f"T{UNSHOWN}01{UNSHOWN}"
    assert sheet["A5"].value == f"lone {UNSHOWN}"


def test_a_text_like_an_escape_is_not_taken_for_one() -> None:
    """A spreadsheet reads _x0041_ as the letter A unless its underscore is written out."""
    data = book_of(pd.DataFrame({"note": ["_x0041_"]}))
    assert "_x005F_x0041_" in part(data, "xl/sharedStrings.xml")


@pytest.mark.parametrize("letter", ["a", "\N{DECIDUOUS TREE}"])
def test_a_text_longer_than_a_cell_is_cut_and_that_is_said(letter: str) -> None:
    sheet = sheet_of(book_of(pd.DataFrame({"note": [letter * 40_000]}), "trays"))
    assert sheet["A2"].value == cut_note("trays")
    kept = sheet["A4"].value
    assert kept.endswith(CUT_MARK)
    assert len(kept.encode("utf-16-le")) / 2 in (MOST_CHARACTERS, MOST_CHARACTERS - 1)


def test_a_text_that_just_fits_is_whole() -> None:
    text = "a" * MOST_CHARACTERS
    assert sheet_of(book_of(pd.DataFrame({"note": [text]})))["A3"].value == text


def test_rows_beyond_a_sheet_are_told() -> None:
    xml = sheet_xml(
        pd.DataFrame({"n": range(30)}), "trays", ["a note"], texts := Texts(), most_rows=20
    )
    assert xml.count("<row ") <= 20
    assert any("of 30 rows; tables/trays.csv has all" in text for text in texts.places)


def test_the_header_stays_in_sight_and_columns_are_wide_enough() -> None:
    sheet = sheet_of(book_of(pd.DataFrame({"method": ["side veneer"] * 3})))
    assert sheet.freeze_panes == "A3"
    assert sheet["A2"].font.b
    assert sheet.column_dimensions["A"].width >= len("side veneer")


def test_the_sheet_holds_what_the_csv_holds() -> None:
    table = pd.DataFrame({"method": ["cleft", "side veneer"], "low": [0.1, 2 / 3]})
    lines = csv_bytes(table, "n").decode("utf-8-sig").splitlines()[1:]
    rows = sheet_of(book_of(table)).iter_rows(min_row=2, values_only=True)
    assert [",".join(str(value) for value in row) for row in rows] == lines


def test_many_trays_are_written_in_a_second() -> None:
    """25,000 trays of 32 columns took 0.8 s on the slow machine where this was written."""
    many = 25_000
    table = pd.DataFrame(
        {f"x{n}": np.random.default_rng(n).random(many) for n in range(4)}
        | {f"t{n}": [f"'Name {i % 97}' number {n}" for i in range(many)] for n in range(4)}
    )
    begun = time.process_time()
    book_of(table)
    assert time.process_time() - begun < 1.5


def test_letters_of_columns_are_those_of_the_library() -> None:
    # As far as a sheet goes: 16,384 columns.
    assert [column_letters(i) for i in range(16_384)] == [
        get_column_letter(i + 1) for i in range(16_384)
    ]
