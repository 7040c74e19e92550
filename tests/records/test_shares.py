"""Shares and points as they are typed; a bare 90 or 10 is asked about."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.errors import CountsError
from takestats.records.shares import read_points, read_share, typed_number


@pytest.mark.parametrize(
    "text", ["90%", "90 %", "0.9", "0,9", " 90% ", "90 per cent", "90 percent", "90,0%"]
)
def test_a_share_in_any_spelling(text: str) -> None:
    assert read_share(text, "--take") == pytest.approx(0.9, abs=1e-15)


@pytest.mark.parametrize("text", ["10 points", "10points", "10 POINTS", "0.1", "0,1", "10%"])
def test_a_margin_in_any_spelling(text: str) -> None:
    assert read_points(text, "--margin") == pytest.approx(0.1, abs=1e-15)


@pytest.mark.parametrize(
    ("text", "next_step"),
    [
        ("95", "did you mean 95 %? Then write 95% or 0.95."),
        ("150%", "write a share, as 90% or 0.9."),
        ("10 points", "write a share, as 90% or 0.9."),
        ("-0.1", "write a share, as 90% or 0.9."),
        ("nan", "write a share, as 90% or 0.9."),
        ("inf", "write a share, as 90% or 0.9."),
        ("most", "write a share, as 90% or 0.9."),
        ("", "write a share, as 90% or 0.9."),
    ],
)
def test_what_is_no_share_is_asked_about(text: str, next_step: str) -> None:
    with pytest.raises(CountsError) as told:
        read_share(text, "--take")
    assert told.value.where == "--take"
    assert told.value.what == repr(text)
    assert told.value.next_step == next_step


@pytest.mark.parametrize("text", ["10", "1", "ten"])
def test_a_bare_margin_is_asked_about(text: str) -> None:
    with pytest.raises(CountsError) as told:
        read_points(text, "--margin")
    assert "points" in told.value.next_step


@given(st.text(max_size=12))
def test_any_text_is_read_or_is_no_number(text: str) -> None:
    number, unit = typed_number(text)
    assert math.isnan(number) or math.isfinite(number)
    assert unit in ("percent", "points", "bare")


@given(st.floats(0.0, 100.0))
def test_percent_and_proportion_agree(percent: float) -> None:
    assert read_share(f"{percent!r}%", "x") == percent / 100.0
