from __future__ import annotations

import datetime as dt
import io
from typing import Any

import openpyxl
import pytest

from takestats.records.dates import MonthShown
from takestats.records.xlsx_cells import workbook_cells


def seen(value: Any, shown: str = "General") -> Any:
    book = openpyxl.Workbook()
    cell = book.active.cell(row=1, column=1, value=value)
    cell.number_format = shown
    data = io.BytesIO()
    book.save(data)
    sheets = workbook_cells(data.getvalue())
    return sheets["Sheet"].rows[0][0]


@pytest.mark.parametrize(
    ("value", "shown", "expected"),
    [
        (0.85, "0%", "85%"),
        (0.855, "0.0%", "85.5%"),
        (0.07, "0%", "7%"),
        (20, "General", "20"),
        (20.0, "0", "20"),
        (9.525, "0.0", "9.525"),
        (True, "General", "TRUE"),
        ("3/8", "@", "3/8"),
        ("=A2", "General", "=A2"),
    ],
)
def test_a_number_is_what_the_sheet_shows_with_every_digit(
    value: Any, shown: str, expected: str
) -> None:
    assert seen(value, shown) == expected


@pytest.mark.parametrize(
    ("day", "shown", "month"),
    [(1, "mmm-yy", True), (1, "mmmm yyyy", True), (1, "[$-409]mmm\\-yy", True),
     (1, "d-mmm-yy", False), (1, "yyyy-mm-dd", False), (3, "mmm-yy", False)],
)  # fmt: skip
def test_only_the_first_of_a_month_shown_without_its_day_is_a_month(
    day: int, shown: str, month: bool
) -> None:
    cell = seen(dt.datetime(2026, 2, day), shown)
    assert isinstance(cell, MonthShown) is month
    assert cell == ("2026-02" if month else dt.datetime(2026, 2, day))


def test_a_blank_is_nothing() -> None:
    book = openpyxl.Workbook()
    book.active.append(["a", None, "b"])
    data = io.BytesIO()
    book.save(data)
    assert workbook_cells(data.getvalue())["Sheet"].rows == [["a", None, "b"]]
