"""Is the JSON whole, valid and unrounded?"""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path

import numpy as np
import pandas as pd
from hypothesis import given
from hypothesis import strategies as st

from takestats.cli.as_json import json_text


def read(text: str) -> object:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is not JSON")

    return json.loads(text, parse_constant=refuse)


def test_every_kind_of_cell() -> None:
    table = pd.DataFrame(
        {
            "method": ["cleft", pd.NA],
            "odds_ratio": [1 / 3, np.inf],
            "low": [-np.inf, np.nan],
            "trays": np.array([3, 4], dtype=np.int64),
            "counted": [True, False],
            "count_date": [pd.Timestamp("2026-06-15"), pd.NaT],
        }
    )
    said = read(json_text({"table": table, "written": [Path("a") / "b.html"], "none": None}))
    assert said == {
        "table": [
            {
                "method": "cleft",
                "odds_ratio": 1 / 3,
                "low": "no lower bound",
                "trays": 3,
                "counted": True,
                "count_date": "2026-06-15",
            },
            {
                "method": None,
                "odds_ratio": "no upper bound",
                "low": None,
                "trays": 4,
                "counted": False,
                "count_date": None,
            },
        ],
        "written": [str(Path("a") / "b.html")],
        "none": None,
    }


def test_dates_and_times() -> None:
    said = read(json_text({"day": date(2026, 1, 6), "hour": datetime(2026, 1, 6, 14, 30)}))
    assert said == {"day": "2026-01-06", "hour": "2026-01-06T14:30:00"}


def test_names_stay_as_written() -> None:
    assert "Hamamelis × intermedia" in json_text({"scion": "Hamamelis × intermedia"})


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_a_finite_number_comes_back_as_it_was_and_no_other_is_written(value: float) -> None:
    said = read(json_text({"x": value, "y": np.float64(value)}))
    assert isinstance(said, dict)
    if np.isfinite(value):
        assert said["x"] == value == said["y"]
    else:
        assert said["x"] in (None, "no upper bound", "no lower bound")
