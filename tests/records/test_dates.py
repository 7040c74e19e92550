from __future__ import annotations

import datetime as dt

import pytest

from takestats.records.dates import looks_turned, read_date


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("2026-02-03", "2026-02-03"), ("2026-2-3", "2026-02-03"), ("2026-02", "2026-02"),
        ("3 Feb 2026", "2026-02-03"), ("3rd February 2026", "2026-02-03"),
        ("3-Feb-26", "2026-02-03"),
        ("Feb 3, 2026", "2026-02-03"), ("Feb 2026", "2026-02"), ("February, 2026", "2026-02"),
        ("Sept 2025", "2025-09"), ("2026-02-03 00:00:00", "2026-02-03"),
        (dt.datetime(2026, 2, 3), "2026-02-03"), (dt.date(2026, 2, 3), "2026-02-03"),
        ("13/2/2026", "2026-02-13"), ("2/13/2026", "2026-02-13"), ("2026/2/3", "2026-02-03"),
        ("02/2026", "2026-02"), ("Tue 3 Feb 2026", "2026-02-03"), ("Friday, 6 March 2026",
        "2026-03-06"),
    ],
)  # fmt: skip
def test_a_date_or_a_month_is_read(cell: object, text: str) -> None:
    assert read_date(cell, None).text == text


def test_the_order_is_the_growers_to_say() -> None:
    assert read_date("3/4/2026", None).fault == "date_order"
    assert read_date("3/4/2026", "day first").text == "2026-04-03"
    assert read_date("3/4/2026", "month first").text == "2026-03-04"
    assert read_date("3.4.26", "day first").text == "2026-04-03"
    assert read_date("13/4/26", None).fault == "date_order"  # two figures: year or day


@pytest.mark.parametrize(
    ("cell", "fault"),
    [
        ("3 Feb", "date_without_year"), ("3/4", "date_without_year"), ("Feb", "date_without_year"),
        ("2026-02-30", "no_such_day"), ("31 April 2026", "no_such_day"), ("2026-13", "no_such_day"),
        ("1826-02-03", "date_year"), ("week 6", "not_a_date"), ("soon", "not_a_date"),
        ("45352", "day_number"), ("Jan-26", "date_without_year"), ("13/2026", "no_such_day"),
        ("13/13/2026", "no_such_day"), ("3 Foo 2026", "not_a_date"),
    ],
)  # fmt: skip
def test_what_is_not_a_date_has_its_fault(cell: str, fault: str) -> None:
    assert read_date(cell, None).fault == fault


@pytest.mark.parametrize("cell", ["8-Mar", "2026-03-08", "Mar-08", "8-Mar-26", "3/8/2026",
                                  "2026-03-08 00:00:00", dt.datetime(2026, 3, 8)])  # fmt: skip
def test_a_cell_that_a_spreadsheet_turned_is_seen(cell: object) -> None:
    assert looks_turned(cell)


@pytest.mark.parametrize("cell", ["3/8", "T-12", "12", "A-3", "March tray", "2026", "1-2", None])
def test_a_name_is_not_taken_for_a_date(cell: object) -> None:
    assert not looks_turned(cell)
