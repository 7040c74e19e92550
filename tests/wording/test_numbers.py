"""How numbers are said: nothing below 100 % is called 100 %, signs stay, dates are words."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.wording import numbers as say

SHARES = st.floats(0.0, 1.0)
INSIDE = st.floats(0.0, 1.0, exclude_min=True, exclude_max=True)


@given(INSIDE)
def test_nothing_inside_is_called_0_or_100_percent(share: float) -> None:
    assert say.percent_number(share) not in ("0", "100", "0.0", "100.0")


def test_the_ends_are_called_what_they_are() -> None:
    assert say.percent(0.0) == "0 %"
    assert say.percent(1.0) == "100 %"
    assert say.percent(math.nan) == "not recorded"


@given(INSIDE)
def test_a_percent_is_the_share_to_its_own_digits(share: float) -> None:
    said = say.percent_number(share)
    if said.startswith(("under", "over")):
        assert share < 0.001 or share > 0.999
        return
    unit = 0.1 if "." in said else 1.0
    assert abs(float(said) - 100 * share) <= unit / 2 + 1e-9


@given(SHARES, SHARES)
def test_said_percents_keep_their_order(a: float, b: float) -> None:
    def number(share: float) -> float:
        said = say.percent_number(share)
        return {"under 0.1": 0.05, "over 99.9": 99.95}.get(said) or float(said)

    if a <= b:
        assert number(a) <= number(b)


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.912, "91 %"),
        (0.9962, "99.6 %"),
        (0.99951, "over 99.9 %"),
        (0.9951, "99.5 %"),
        (0.9899, "99 %"),
        (0.0004, "under 0.1 %"),
        (0.004, "0.4 %"),
        (0.5, "50 %"),
    ],
)
def test_percents(share: float, said: str) -> None:
    assert say.percent(share) == said


@given(st.floats(-1.0, 1.0))
def test_points_keep_their_sign(difference: float) -> None:
    said = say.points_number(difference)
    if difference == 0.0:
        assert said == "0"
    elif difference < 0:
        assert said.startswith("-") or said == "over -0.1"
    else:
        assert not said.startswith("-")
    if difference != 0.0:
        assert said != "0"


@pytest.mark.parametrize(
    ("difference", "said"),
    [
        (0.042, "4 points"),
        (-0.042, "-4 points"),
        (0.01, "1 point"),
        (-0.01, "-1 point"),
        (0.004, "0.4 points"),
        (-0.004, "-0.4 points"),
        (0.0, "0 points"),
        (1.0, "100 points"),
        (-1.0, "-100 points"),
        (math.nan, "not recorded points"),
    ],
)
def test_points(difference: float, said: str) -> None:
    if math.isnan(difference):
        assert say.points_number(difference) == "not recorded"
    else:
        assert say.points(difference) == said


def test_intervals_name_their_level_once() -> None:
    assert say.percent_interval(0.91, 0.87, 0.94) == "91 % (95 % confidence interval 87 to 94)"
    assert say.points_interval(0.05, -0.02, 0.11, 0.9) == "5 points (90 % confidence interval -2 to 11)"  # fmt: skip  # noqa: E501
    assert say.percent_range(0.9, 0.99999) == "90 to over 99.9 %"
    assert say.points_range(-0.02, 0.11) == "-2 to 11 points"
    assert say.level_words(0.995) == "99.5 % confidence interval"


@pytest.mark.parametrize(
    ("ratio", "said"),
    [
        (math.inf, "no upper bound"),
        (math.nan, "not recorded"),
        (2.345, "2.3"),
        (0.0123, "0.012"),
        (123.4, "123"),
        (1.0, "1"),
    ],
)
def test_odds(ratio: float, said: str) -> None:
    assert say.odds(ratio) == said


@pytest.mark.parametrize("value", [0.0004, 1e-9])
def test_small_numbers_and_chances_are_never_0(value: float) -> None:
    assert say.small(value) == "under 0.001"
    assert say.chance(value) == "under 0.001"


def test_other_small_numbers() -> None:
    assert say.small(0.0712) == "0.071"
    assert say.small(0.0) == "0.000"
    assert say.small(math.nan) == "not recorded"
    assert say.chance(0.0312) == "0.031"


def test_counts() -> None:
    assert say.whole(12345.0) == "12,345"
    assert say.whole(math.nan) == "not recorded"
    assert say.count_of(0, "tray") == "0 trays"
    assert say.count_of(1, "tray") == "1 tray"
    assert say.count_of(1200, "graft") == "1,200 grafts"
    assert say.count_of(2, "batch", "batches") == "2 batches"


def test_lists() -> None:
    assert say.listing([]) == ""
    assert say.listing(["a"]) == "a"
    assert say.listing(["a", "b"]) == "a and b"
    assert say.listing(["a", "b", "c"], "or") == "a, b or c"


@given(st.dates())
def test_dates_are_said_in_words_that_cannot_be_turned_round(day: object) -> None:
    said = say.date_words(str(day))
    match = re.fullmatch(r"(\d{1,2}) ([A-Z][a-z]+) (\d{4})", said)
    assert match
    assert match.group(2) in say.MONTHS
    assert f"{int(match.group(3)):04d}-{say.MONTHS.index(match.group(2)) + 1:02d}" == str(day)[:7]


@pytest.mark.parametrize(
    ("iso", "said"),
    [
        ("2026-06-15", "15 June 2026"),
        ("2026-06", "June 2026"),
        ("2026-06-05T00:00:00", "5 June 2026"),
        ("2026-06-05 00:00:00", "5 June 2026"),
        ("", "not recorded"),
        ("late June", "late June"),
        ("2026", "2026"),
    ],
)
def test_dates(iso: str, said: str) -> None:
    assert say.date_words(iso) == said


def test_columns_and_levels() -> None:
    assert say.column_words("scion_wood") == "scion wood"
    assert say.column_words("understock_caliper_mm") == "understock caliper (mm)"
    assert say.level_text("sub_terminal") == "sub-terminal"
    assert say.level_text(6) == "6"
