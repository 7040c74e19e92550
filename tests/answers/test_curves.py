"""Curves and their windows: a planted bend is found; what cannot be asked is refused."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm

import takestats as ts
from takestats.answers.curves import TakeCurve
from takestats.wording.curves import window_sentences
from tests.pages.bench_season import log_odds, season


def bench(bend: float, trays: int = 40, seed: int = 3) -> pd.DataFrame:
    """Invented trays whose take is best at a warmth of 25."""
    rng = np.random.default_rng(seed)
    days = np.linspace(0.0, 50.0, trays).round(1)
    logit = 2.6 - bend * ((days - 25.0) / 25.0) ** 2
    return pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i:02d}" for i in range(trays)],
            "method": ["cleft", "side veneer"] * (trays // 2),
            "warmth": days,
            "grafted": 40,
            "taken": rng.binomial(40, 1 / (1 + np.exp(-logit))),
            "count_date": "2026-06-15",
        }
    )


def curve_of(bend: float, **options: object) -> TakeCurve:
    model = ts.fit_take(ts.records_from_frame(bench(bend)), ["method"], curves=["warmth"])
    return ts.take_curve(model, "warmth", **options)  # type: ignore[arg-type]


def test_a_planted_bend_is_inside_the_band() -> None:
    curve = curve_of(2.0)
    table = curve.table
    assert list(table.columns) == ["warmth", "take_rate", "low", "high"]
    truth = 1 / (1 + np.exp(-(2.6 - 2.0 * ((table["warmth"] - 25.0) / 25.0) ** 2)))
    # A point-by-point 95 % band: a few of 25 points may miss, not many.
    assert np.mean((table["low"] <= truth) & (truth <= table["high"])) > 0.8
    assert (table["low"] <= table["take_rate"]).all()
    assert (table["take_rate"] <= table["high"]).all()


def test_it_is_drawn_inside_nine_tenths_of_the_values_only() -> None:
    table = curve_of(2.0).table
    assert table["warmth"].iloc[0] == pytest.approx(2.5, abs=0.1)
    assert table["warmth"].iloc[-1] == pytest.approx(47.5, abs=0.1)


def test_the_window_holds_the_planted_best_and_grows_with_what_is_allowed() -> None:
    curve = curve_of(2.0)
    narrow = curve.window(0.03).table.iloc[0]
    wide = curve.window(0.10).table.iloc[0]
    assert narrow["best_low"] <= 25.0 <= narrow["best_high"]
    assert wide["low"] <= narrow["low"] <= 25.0 <= narrow["high"] <= wide["high"]
    assert not wide["sure_low"] < wide["low"]
    assert not wide["sure_high"] > wide["high"]
    assert "points of the best" in curve.window(0.10).in_words()


def test_outside_the_possible_limits_more_is_lost_with_nine_chances_in_ten() -> None:
    curve = curve_of(2.0)
    row = curve.window(0.05).table.iloc[0]
    values = curve.table["warmth"]
    assert row["possible_low"] <= row["low"] <= row["sure_low"]
    assert row["sure_high"] <= row["high"] <= row["possible_high"]
    # Planted: 5 points below the best 14 away, 19 points at the ends, 22 away.
    assert row["possible_low"] > values.iloc[0]
    assert row["possible_high"] < values.iloc[-1]


def test_a_window_that_no_value_reaches_is_said_without_a_number() -> None:
    nowhere = dict.fromkeys(("low", "high", "sure_low", "sure_high"), float("nan"))
    said = window_sentences([nowhere], "warmth", (), 0.05, (0.0, 50.0))
    assert said == ("Within 5 points of the best: these trays cannot say at which warmth.",)


# --- against the outside -------------------------------------------------------------------


def natural_spline(x: np.ndarray, knots: np.ndarray) -> np.ndarray:
    """Straight beyond the outer knots; another basis of the same curves than the package's.

    Hastie, Tibshirani & Friedman 2009, The Elements of Statistical Learning, eq. 5.4 and 5.5
    (from memory).
    """

    def cut(at: float) -> np.ndarray:
        return np.maximum(x - at, 0.0) ** 3

    last = knots[-1]
    steps = [(cut(k) - cut(last)) / (last - k) for k in knots[:-1]]
    return np.column_stack([np.ones_like(x), x, *[step - steps[-1] for step in steps[:-1]]])


def test_the_shape_is_that_of_a_binomial_regression_by_another_library() -> None:
    """Trays that differ by chance alone, so that a plain regression is the right yardstick.

    statsmodels' binomial GLM on a basis written here; knots at the 5, 35, 65 and 95 % points
    (Harrell's table, from memory). Averaged over the two methods as they were mixed. Within
    a point: the fit has weak priors and room for a spread, and shows a median.
    """
    frame = bench(2.0, trays=120)
    model = ts.fit_take(ts.records_from_frame(frame), ["method"], curves=["warmth"])
    curve = ts.take_curve(model, "warmth").table
    warmth = frame["warmth"].to_numpy(dtype=float)
    knots = np.quantile(warmth, [0.05, 0.35, 0.65, 0.95])
    method = (frame["method"] == "cleft").to_numpy(dtype=float)
    rows = np.column_stack([natural_spline(warmth, knots), method])
    counts = np.column_stack([frame["taken"], frame["grafted"] - frame["taken"]])
    fitted = sm.GLM(counts, rows, family=sm.families.Binomial()).fit()
    at = curve["warmth"].to_numpy(dtype=float)
    basis = natural_spline(at, knots)
    takes = [
        fitted.predict(np.column_stack([basis, np.full(len(at), which)])) for which in (0.0, 1.0)
    ]
    expected = np.mean(takes, axis=0)  # as many trays of either method, 40 grafts each
    assert np.abs(curve["take_rate"].to_numpy() - expected).max() < 0.01
    assert np.abs(np.diff(expected)).max() > 0.01


def test_a_known_curve_lies_in_the_band_as_often_as_it_should() -> None:
    """Four invented seasons, five stated places each; trays differ beyond chance and by a seal
    that the model does not know. Of 20 places a 95 % band misses one; over 3 is rarer than 2 in
    100 if they were independent (binomial tail)."""
    held = 0
    for seed in range(11, 15):
        records = ts.records_from_frame(season(48, seed))
        model = ts.fit_take(records, ["method"], curves=["understock_caliper_mm"])
        curve = ts.take_curve(model, "understock_caliper_mm").table
        lines = model.lines
        for at in (0, 6, 12, 18, 24):
            row = curve.iloc[at]
            eta = log_odds(lines["method"], row["understock_caliper_mm"], lines["sealed"])
            truth = float(np.mean(1 / (1 + np.exp(-eta))))
            held += row["low"] <= truth <= row["high"]
    assert held >= 17


def test_a_flat_take_has_a_window_over_all_that_was_tried() -> None:
    window = curve_of(0.0).window(0.10)
    assert "all that was tried" in window.in_words()


def test_one_curve_for_each_level() -> None:
    table = curve_of(2.0, by="method").table
    assert table.groupby("method").size().tolist() == [25, 25]


def test_every_tray_has_its_tick() -> None:
    curve = curve_of(2.0)
    assert len(curve.trays) == 40
    assert curve.trays["raw_rate"].between(0.0, 1.0).all()


def test_what_is_no_curve_of_the_model_is_refused() -> None:
    model = ts.fit_take(ts.records_from_frame(bench(1.0)), ["method"], curves=["warmth"])
    with pytest.raises(ts.UnknownColumnError, match="warmth"):
        ts.take_curve(model, "warmt")
    with pytest.raises(ts.CountsError, match=r"0\.05 for 5 points"):
        ts.take_curve(model, "warmth").window(5.0)
