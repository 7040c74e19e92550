"""Is a layout recognised from its rows alone, whatever their order and spelling?"""

from __future__ import annotations

from typing import Any

import pandas as pd
from hypothesis import given
from hypothesis import strategies as st

from takestats.records.layout_match import layout_fingerprint
from takestats.records.read import records_from_frame

ROWS = [
    {"tray": f"A{n}", "block": str(1 + n // 4), "method": method, "grafted": 20, "taken": 15}
    for n, method in enumerate(["cleft", "side veneer", "side veneer", "cleft"] * 2)
]
MARK = layout_fingerprint(ROWS, ["method"])


def read(rows: list[dict[str, Any]], **bench: Any) -> Any:
    settings = {"layout": MARK, "drawn": ["method"], "seed": 4, **bench}
    trial = {"trial": {"randomised": "tray"}, "bench": settings}
    return records_from_frame(pd.DataFrame(rows), trial=trial)


def test_order_capitals_and_counts_do_not_matter() -> None:
    rows = [{**row, "method": row["method"].upper(), "taken": 3} for row in reversed(ROWS)]
    assert read(rows).layout == "matches"
    assert read(rows).trial.trial["randomised"] == "tray"


@given(st.integers(0, 7), st.sampled_from(["tray", "block", "method"]))
def test_any_one_cell_changed_is_found(at: int, column: str) -> None:
    rows = [dict(row) for row in ROWS]
    rows[at][column] = "splice" if column == "method" else "Z9"
    records = read(rows)
    assert records.layout == "differs"
    assert records.trial.trial["randomised"] == "no"


def test_two_trays_that_exchanged_their_treatment_are_found() -> None:
    rows = [dict(row) for row in ROWS]
    rows[0]["method"], rows[1]["method"] = rows[1]["method"], rows[0]["method"]
    assert read(rows).layout == "differs"


def test_a_row_taken_out_or_added_is_found() -> None:
    assert read(ROWS[1:]).layout == "differs"
    assert read([*ROWS, {**ROWS[0], "tray": "B1"}]).layout == "differs"


def test_the_same_trays_at_a_second_count_are_still_the_layout() -> None:
    rows = [{**row, "count": count} for row in ROWS for count in ("first", "settled")]
    for row in rows[1::2]:
        row["method"] = row["block"] = None  # a later count need not say it again
    assert read(rows).layout == "matches"


def test_settings_without_a_layout_are_left_as_they_are() -> None:
    records = read(ROWS, layout="")
    assert records.layout == ""
    assert records.trial.trial["randomised"] == "tray"
    assert not [note for note in records.notes if "layout" in note]
