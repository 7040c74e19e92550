"""Curves and their windows: a planted bend is found; what cannot be asked is refused."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.answers.curves import TakeCurve


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
