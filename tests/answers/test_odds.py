"""Odds ratios: columns, no-bound rules, averaged against same-tray."""

from __future__ import annotations

import math

import pytest

from takestats.answers.odds import odds_ratios
from takestats.answers.rates import take_rates
from takestats.models.fit import fit_take
from tests.models.small_trials import bench, records_of, two_by_two, two_methods

FULL, NONE, SOME, OTHER = [(20, 20)] * 3, [(0, 20)] * 3, [(17, 20)] * 3, [(12, 20)] * 3


@pytest.mark.parametrize("kind", ["averaged", "same_tray"])
@pytest.mark.parametrize(
    ("a", "b", "low_open", "high_open"),
    [
        (SOME, OTHER, False, False),
        (FULL, SOME, False, True),
        (SOME, FULL, True, False),
        (NONE, SOME, True, False),
        (SOME, NONE, False, True),
        (FULL, NONE, False, True),
        (FULL, FULL, True, True),
    ],
)
def test_a_side_without_a_bound(
    kind: str,
    a: list[tuple[int, int]],
    b: list[tuple[int, int]],
    low_open: bool,
    high_open: bool,
) -> None:
    model = fit_take(records_of(bench({"cleft": a, "splice": b})), ["method"])
    result = odds_ratios(model, "method", kind=kind)  # type: ignore[arg-type]
    row = result.table.iloc[0]
    assert (row["low"] == 0.0) == low_open
    assert math.isinf(row["high"]) == high_open
    assert 0.0 < row["odds_ratio"] < math.inf
    assert ("no lower bound" in result.in_words()) == low_open
    assert ("no upper bound" in result.in_words()) == high_open
    assert row["low"] <= row["odds_ratio"] <= row["high"]


def test_columns_and_direction() -> None:
    model = fit_take(records_of(two_methods()), ["method"])
    table = odds_ratios(model, "method").table
    assert table.columns.tolist() == ["level_a", "level_b", "odds_ratio", "low", "high"]
    assert table.iloc[0, :2].tolist() == ["cleft", "side veneer"]
    assert table["high"].iloc[0] < 1.0  # cleft took less
    cells = fit_take(
        records_of(two_by_two()),
        ["method", "scion_wood"],
        interactions=[["method", "scion_wood"]],
    )
    inside = odds_ratios(cells, "method", within="scion_wood").table
    assert inside.columns[0] == "scion_wood"
    assert len(inside) == 2


def test_the_averaged_ratio_is_the_odds_of_the_averaged_takes() -> None:
    frame = bench({"cleft": [(300, 400)] * 30, "splice": [(340, 400)] * 30})
    model = fit_take(records_of(frame), ["method"])
    p, q = take_rates(model, "method").table["take_rate"]
    found = odds_ratios(model, "method").table["odds_ratio"].iloc[0]
    assert found == pytest.approx(p / (1 - p) / (q / (1 - q)), rel=0.01)


def test_averaging_over_trays_pulls_the_ratio_towards_one() -> None:
    # Zeger, Liang & Albert 1988: the conditional ratio lies further from 1, the more so the
    # more trays differ.
    uneven = {"cleft": [(20, 20), (4, 20), (14, 20), (9, 20)] * 3,
              "splice": [(20, 20), (12, 20), (19, 20), (17, 20)] * 3}  # fmt: skip
    model = fit_take(records_of(bench(uneven)), ["method"])
    averaged = odds_ratios(model, "method").table["odds_ratio"].iloc[0]
    inside = odds_ratios(model, "method", kind="same_tray").table["odds_ratio"].iloc[0]
    assert inside < averaged < 1.0
    result = odds_ratios(model, "method", kind="same_tray")
    assert "conditional on the tray" in result.notes[0]
    assert "in the same tray" in result.in_words()


def test_without_trays_both_kinds_agree() -> None:
    frame = two_methods().drop(columns="tray")
    model = fit_take(records_of(frame, records={"trays": "none"}), ["method"])
    one = odds_ratios(model, "method").table.iloc[0]
    two = odds_ratios(model, "method", kind="same_tray").table.iloc[0]
    for name in ("odds_ratio", "low", "high"):
        assert one[name] == pytest.approx(two[name], rel=0.02)


def test_the_words_name_the_level_that_was_asked_for() -> None:
    model = fit_take(records_of(two_methods()), ["method"])
    result = odds_ratios(model, "method", level=0.9)
    assert "90 % confidence interval" in result.in_words()
    assert "95 %" not in result.in_words()
