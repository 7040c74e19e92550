from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from takestats.errors import CountsError
from takestats.records.calipers import caliper_mm, unit_word

# 1 inch = 25.4 mm exactly (NIST Special Publication 811); source beside each case.
CASES = json.loads(
    (Path(__file__).parents[1] / "reference" / "names_and_units.json").read_text("utf-8")
)
UNITS = [case for case in CASES if case["topic"] == "10 units"]


@pytest.mark.parametrize("case", UNITS, ids=[case["id"] for case in UNITS])
def test_a_published_conversion(case: dict[str, Any]) -> None:
    # closed form: the tolerance of the case is 1e-9, ours is exact to the last bit
    assert caliper_mm(case["data"]["text"]) == pytest.approx(case["expected"]["mm"], rel=1e-12)


# Arithmetic from 1 in = 25.4 mm; the usual steps of a caliper gauge.
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ('1/8"', 3.175), ("3/16 inch", 4.7625), ("5/16″", 7.9375), ("1/2in", 12.7),
        ('5/8"', 15.875), ("3/4 IN.", 19.05), ("0.375 in", 9.525), ("9,5 mm", 9.5),
        ("1-1/2 in", 38.1), ("⅜ in", 9.525), ("1⅜ in", 34.925), ("3⁄8", 9.525), ("3/8", 9.525),
        ("8", 8.0), (8, 8.0), (7.5, 7.5), (".5 in", 12.7), ("12 millimetres", 12.0),
    ],
)  # fmt: skip
def test_ways_to_write_a_caliper(text: object, mm: float) -> None:
    assert caliper_mm(text) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [("3/8", "in", 9.525), ("8", "mm", 8.0), ("0.8", "cm", 8.0), ("8 mm", "in", 8.0),
     ("0.375", "in", 9.525), ("3/8", "mm", 9.525)],
)  # fmt: skip
def test_the_unit_of_the_header_serves_where_the_cell_has_none(
    text: str, unit: str, mm: float
) -> None:
    assert caliper_mm(text, unit) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "pencil thick", "3/0", "0", "0 mm", "-3 mm", "8-10 mm", "3/8 cubits", "nan", "8 9"]
)
def test_what_is_not_one_length_is_refused(text: str) -> None:
    with pytest.raises(CountsError) as refused:
        caliper_mm(text)
    assert refused.value.where == "caliper"
    assert "3/8 in" in refused.value.next_step


def test_words_for_units() -> None:
    assert unit_word(" Inches ") == "in"
    assert unit_word("MM.") == "mm"
    assert unit_word("grafts") is None
