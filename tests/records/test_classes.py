from __future__ import annotations

import pandas as pd
import pytest

from takestats.records.classes import class_bounds, class_of
from takestats.records.read import records_from_frame


@pytest.mark.parametrize(
    ("given", "unit", "bounds"),
    [
        ("6 to 8 mm", None, (6.0, 8.0)),
        ("6-8 mm", None, (6.0, 8.0)),
        ("1/4 to 3/8 in", None, (6.35, 9.525)),
        ("0.25 to 0.5 in", None, (6.35, 12.7)),
        ("0.25 to 0.5", "in", (6.35, 12.7)),
        ([8, 10], None, (8.0, 10.0)),
        ("0 to 6 mm", None, (0.0, 6.0)),
    ],
)
def test_bounds_have_one_unit(given: object, unit: str | None, bounds: tuple[float, float]) -> None:
    assert class_bounds({"a": given}, unit)["a"] == pytest.approx(bounds, abs=1e-12)


@pytest.mark.parametrize("given", ["pencil thick", "8 mm", "8 to 6 mm", "1 to 2 to 3", True])
def test_words_are_no_bounds(given: object) -> None:
    assert class_bounds({"a": given}) == {}


def test_the_upper_bound_belongs_to_the_next_class() -> None:
    bounds = {"thin": (6.0, 8.0), "stout": (8.0, 10.0)}
    assert [class_of(mm, bounds) for mm in (5.9, 6, 8, 10)] == [None, "thin", "stout", None]


def test_a_caliper_on_the_upper_bound_is_not_asked_about() -> None:
    frame = pd.DataFrame({"tray": ["A"], "caliper_class": ["thin"], "caliper": ["8"],
                          "grafted": [9], "taken": [7]})  # fmt: skip
    settings = {"classes": {"thin": "6 to 8 mm"}}
    assert records_from_frame(frame, trial=settings).problems.empty
