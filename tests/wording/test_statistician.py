"""What the page says of its coverage with several factors is what the report measured."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from takestats.wording import statistician as words

REPORT = Path(__file__).resolve().parents[2] / "reports" / "calibration.csv"


@pytest.mark.parametrize(
    ("said", "start"),
    [(words.HELD_SEVERAL_TAKE, "take_"), (words.HELD_SEVERAL_DIFFERENCE, "gap_")],
)
def test_the_page_claims_no_more_than_was_measured(said: int, start: str) -> None:
    table = pd.read_csv(REPORT, low_memory=False)
    mine = table[table["row"].str.startswith("regression")]
    columns = [
        name
        for name in mine.columns[mine.notna().any()]
        if name.startswith(start) and name.endswith("_coverage")
    ]
    assert len(mine) > 1
    assert len(columns) > 1
    measured = 100.0 * float(mine[columns].min().min())
    assert said <= measured
    assert said > measured - 1.0


def test_what_is_said_of_straight_lines_and_of_averages_is_what_was_measured() -> None:
    table = pd.read_csv(REPORT, low_memory=False)
    first = table[table["row"] == "regression"]
    said = {
        ("straight lines", "take_"): (words.HELD_LINES_TAKE, 96),
        ("straight lines", "gap_"): (words.HELD_LINES_DIFFERENCE, 97),
        ("curve over caliper", "take_"): (words.HELD_SEVERAL_TAKE, 96),
        ("curve over caliper", "gap_"): (words.HELD_SEVERAL_DIFFERENCE, 98),
    }
    for (design, start), (lowest, mean) in said.items():
        mine = first[first["design"] == design].dropna(axis="columns", how="all")
        columns = [c for c in mine.columns if c.startswith(start) and c.endswith("_coverage")]
        assert len(mine) == 18
        measured = 100.0 * mine[columns].to_numpy(float)
        assert lowest <= measured.min() < lowest + 1.0
        assert abs(measured.mean() - mean) <= 0.5
    takes = [c for c in first.dropna(axis="columns", how="all").columns if c[:5] == "take_"]
    below, above = (
        float(first[[c for c in takes if c.endswith(side)]].to_numpy(float).sum())
        for side in ("_below", "_above")
    )
    assert below > 5.0 * above
    again = table[table["row"] == "regression, again"].dropna(axis="columns", how="all")
    columns = [c for c in again.columns if c.startswith("take_") and c.endswith("_coverage")]
    assert len(again) == 2
    assert again[columns].to_numpy(float).min() >= 0.91


def test_each_computation_says_how_far_it_is_checked() -> None:
    several = words.method_text(by_draws=True, trays_recorded=True)
    grid = words.method_text(by_draws=False, trays_recorded=True)
    alone = words.method_text(by_draws=True, trays_recorded=False)
    assert "Several factors side by side, as on this page" in several[-1]
    assert not any("as on this page" in text for text in (*grid, *alone))
    assert "Without trays" in alone[-1]
