"""The weeks of a window and what each can hold."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.order.week_capacity import weeks_of


@pytest.mark.parametrize(
    ("window", "first", "last"),
    [
        ("early January to mid March", (1, 1), (3, 20)),
        ("mid-January until late February", (1, 11), (2, 28)),
        ("between Early Jan and Mid Sept", (1, 1), (9, 20)),
        ("from late January – middle of March", (1, 21), (3, 20)),
        ("January to March", (1, 1), (3, 31)),
        ("late February", (2, 21), (2, 28)),
        ("5 January to 13th March", (1, 5), (3, 13)),
        ("March 2 to late April", (3, 2), (4, 30)),
        ("2026-01-05 to 2026-03-13", (1, 5), (3, 13)),
        ("5 Jan 2026 - 13 March 2026", (1, 5), (3, 13)),
        (["2026-01-05", "mid March"], (1, 5), (3, 20)),
        ([dt.date(2026, 1, 5), dt.date(2026, 3, 13)], (1, 5), (3, 13)),
        ("2026-01 to 2026-02", (1, 1), (2, 28)),
    ],
)
def test_windows_in_the_growers_words(window, first, last) -> None:
    found = weeks_of(window, 120, 4, 2026)
    assert found.first_day == dt.date(2026, *first)
    assert found.last_day == dt.date(2026, *last)


def test_late_february_of_a_leap_year() -> None:
    assert weeks_of("late February", 120, 4, 2028).last_day == dt.date(2028, 2, 29)


def test_over_new_year_with_both_years() -> None:
    found = weeks_of("2025-12-10 to 2026-01-16", 100, 5, 2026)
    assert found.weeks[0] == "week of 10 December 2025"
    assert found.weeks[-1] == "week of 12 January 2026"


def test_a_week_that_the_window_cuts_holds_fewer() -> None:
    # 1 January 2026 is a Thursday; 20 March a Friday.
    found = weeks_of("early January to mid March", 100, 5, 2026)
    assert found.days == (2.0, *(5.0,) * 11)
    assert found.grafts_a_week == (200, *(500,) * 11)
    assert found.weeks[:2] == ("week of 1 January 2026", "week of 5 January 2026")
    cut = weeks_of("2026-01-07 to 2026-01-13", 100, 4.5, 2026)
    assert cut.days == (2.5, 2.0)
    assert cut.grafts_a_week == (250, 200)


def test_the_notes_say_what_is_taken_for_granted() -> None:
    assert weeks_of("early January to mid March", 120, 4.5, 2026).notes == (
        "Grafting from 1 January 2026 to 20 March 2026, 120 grafts a day, 4.5 days a week.",
        "Which weekdays are grafting days is not recorded: they are taken to run from Monday. "
        "Holidays are not taken out.",
    )


@pytest.mark.parametrize("year", range(2024, 2032))
def test_a_season_of_bench_grafting_is_about_five_thousand(year: int) -> None:
    # Common practice, no source: 100 to 150 grafts a day, about 500 a week, about 5,000 between
    # early January and mid-March. The words leave three weeks open: 5,000 lies between them.
    widest = weeks_of("early January to mid March", 125, 4, year)
    narrowest = weeks_of("10 January to 11 March", 125, 4, year)
    assert max(widest.grafts_a_week) == 500
    assert sum(narrowest.grafts_a_week) < 5_000 < sum(widest.grafts_a_week)
    assert sum(widest.grafts_a_week) - sum(narrowest.grafts_a_week) <= 3 * 500
    least = weeks_of("early January to mid March", 100, 4, year)
    assert sum(least.grafts_a_week) < 5_000


@given(st.dates(dt.date(2020, 1, 1), dt.date(2030, 1, 1)), st.integers(0, 365), st.integers(1, 7))
def test_days_are_those_of_the_calendar(first: dt.date, length: int, a_week: int) -> None:
    last = first + dt.timedelta(days=length)
    found = weeks_of([first, last], 1, a_week, 2026)
    days = [first + dt.timedelta(days=i) for i in range(length + 1)]
    assert sum(found.grafts_a_week) == sum(day.weekday() < a_week for day in days)
    assert len(set(found.weeks)) == len(found.weeks) == len({d.isocalendar()[:2] for d in days})
    for day in days[:: max(1, length // 5)]:
        place = found.place_of(day)
        assert found.first_days[place].isocalendar()[:2] == day.isocalendar()[:2]
    assert found.place_of(first - dt.timedelta(days=30)) == 0
