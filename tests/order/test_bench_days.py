"""Trays and days: arithmetic, and what the trade does."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from takestats.order.bench_days import trays_of
from takestats.order.understock_order import understock_order
from tests.order.small_orders import MOTH, order, past

TYPED = "Betula nigra on Betula pendula"


def test_days_and_weeks_by_hand() -> None:
    row = order().days.iloc[0]
    grafts = order().table["grafts"].sum()
    assert row["grafts"] == grafts
    assert row["trays"] == sum(math.ceil(n / 30) for n in order().table["grafts"])
    assert row["days"] == math.ceil(grafts / 120)
    assert row["weeks"] == pytest.approx(grafts / 480)
    assert row["window"] == "early January to mid March"


@pytest.mark.parametrize("a_day", [100, 125, 150])
def test_about_5000_grafts_finish_between_early_january_and_mid_march(a_day: int) -> None:
    """Common practice, no source: 100 to 150 grafts a day, about 500 a week."""
    found = understock_order(
        {TYPED: (0.5, 0.7, 0.9)},
        {TYPED: 2500},
        settings={"work": {"grafts_a_day": a_day, "days_a_week": 500 / a_day}},
    )
    row = found.days.iloc[0]
    assert row["grafts"] == 5000
    assert row["grafts_a_week"] == pytest.approx(500)
    early, mid = dt.date(2026, 1, 2), dt.date(2026, 3, 15)
    assert row["weeks"] <= (mid - early).days / 7


def test_what_is_not_recorded_stays_so() -> None:
    bare = understock_order({TYPED: (0.5, 0.7, 0.9)}, {TYPED: 50})
    row = bare.days.iloc[0]
    assert math.isnan(row["days"])
    assert math.isnan(row["trays"])
    assert row["window"] == ""
    assert "tray size not recorded, grafts a day not recorded; window not recorded" in str(bare)
    a_day = understock_order({TYPED: (0.5, 0.7, 0.9)}, {TYPED: 50}, settings={"grafts_a_day": 40})
    assert "days a week not recorded" in str(a_day)


def test_a_window_of_two_dates() -> None:
    found = understock_order(
        past(), {MOTH: 10}, settings={"work": {"window": ["2027-01-05", "2027-03-15"]}}
    )
    assert found.days["window"].tolist() == ["2027-01-05 to 2027-03-15"]


def test_a_last_tray_is_part_full() -> None:
    assert [trays_of(n, 30) for n in (1, 30, 31)] == [1, 1, 2]
    assert math.isnan(trays_of(5, math.nan))
