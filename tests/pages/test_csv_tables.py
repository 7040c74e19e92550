"""A table handed on: full precision, marked, and harmless in a spreadsheet."""

from __future__ import annotations

import csv
import io
import math

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.pages.csv_tables import APOSTROPHE_NOTE, csv_bytes


def _rows(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_numbers_come_back_to_the_last_digit():
    table = pd.DataFrame({"take_rate": [1 / 3, 0.1 + 0.2], "trays": [3, 4]})
    rows = _rows(csv_bytes(table, "INVENTED DATA: seed 1."))
    assert rows[0] == ["# INVENTED DATA: seed 1."]
    assert rows[1] == ["take_rate", "trays"]
    assert [float(row[0]) for row in rows[2:]] == [1 / 3, 0.1 + 0.2]


def test_what_is_missing_is_blank_and_no_bound_is_said():
    table = pd.DataFrame({"a": [math.nan, math.inf, -math.inf], "b": [None, pd.NA, "x"]})
    rows = _rows(csv_bytes(table, "n"))
    assert [row[0] for row in rows[2:]] == ["", "no upper bound", "no lower bound"]
    assert [row[1] for row in rows[2:]] == ["", "", "x"]


@pytest.mark.parametrize(
    "start", ["=1+1", "+x", "-2+3", "@sum", "\tx", "\rx", "  =1", "\u00a0=1", "＝1"]
)
def test_text_that_looks_like_a_formula_gets_an_apostrophe_and_the_note_says_so(start):
    data = csv_bytes(pd.DataFrame({"note": [start]}), "n")
    rows = _rows(data)
    assert rows[2] == [f"'{start}"]
    assert APOSTROPHE_NOTE in rows[0][0]


@pytest.mark.parametrize(
    ("text", "safe"),
    [("x;=1+1", "x;'=1+1"), ("x; @a", "x;' @a"), ("a\t-b", "a\t'-b"), ("a; b - c", "a; b - c")],
)
def test_no_formula_begins_where_cells_are_parted_at_another_sign(text, safe):
    rows = _rows(csv_bytes(pd.DataFrame({"note": [text]}), "n"))
    assert rows[2] == [safe]
    assert (APOSTROPHE_NOTE in rows[0][0]) == (text != safe)


def test_a_negative_number_stays_a_number():
    rows = _rows(csv_bytes(pd.DataFrame({"difference": [-0.25]}), "n"))
    assert rows[2] == ["-0.25"]
    assert APOSTROPHE_NOTE not in rows[0][0]


@given(st.lists(st.text(min_size=1), min_size=1, max_size=5))
def test_no_text_cell_can_begin_a_formula(texts):
    rows = _rows(csv_bytes(pd.DataFrame({"note": texts}), "n"))
    for row in rows[2:]:
        assert not row or not row[0].lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
