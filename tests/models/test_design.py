"""The columns of a design: what they are, and what is refused."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.models.design import Design, empty_pairs
from takestats.models.splines import curve_through


def bench(trays: int = 24, seed: int = 5) -> pd.DataFrame:
    """Invented trays: two methods, two woods, a caliper and a date."""
    rng = np.random.default_rng(seed)
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i:02d}" for i in range(trays)],
            "method": ["cleft", "side veneer"] * (trays // 2),
            "scion_wood": ["terminal", "terminal", "sub_terminal", "sub_terminal"] * (trays // 4),
            "girth": rng.uniform(6.0, 10.0, trays).round(2),
            "grafted": 30,
            "count_date": "2026-06-15",
        }
    )
    return frame.assign(taken=rng.binomial(30, 0.88, trays))


def fit(frame: pd.DataFrame, *factors: str, **options: object) -> ts.TakeModel:
    return ts.fit_take(ts.records_from_frame(frame), list(factors), **options)  # type: ignore[arg-type]


def test_a_factor_is_its_levels_against_the_reference() -> None:
    design = Design(factors=("m",), levels={"m": ("a", "b", "c")}, curves=(), interactions=())
    np.testing.assert_array_equal(
        design.matrix([("a",), ("b",), ("c",)]), [[1, 0, 0], [1, 1, 0], [1, 0, 1]]
    )


def test_an_interaction_is_the_product_of_its_columns() -> None:
    levels = {"m": ("a", "b"), "w": ("s", "t")}
    curve = curve_through("x", [1.0, 2.0, 3.0, 4.0], 4)
    design = Design(
        factors=("m", "w"), levels=levels, curves=(curve,), interactions=(("m", "w"), ("m", "x"))
    )
    rows = design.matrix([("b", "t", 4.0), ("b", "s", 4.0), ("a", "t", 4.0)])
    assert [name for name, _ in design.terms] == ["m", "w", "x", "m by w", "m by x"]
    np.testing.assert_array_equal(rows[:, 4], [1, 0, 0])
    np.testing.assert_allclose(rows[:, 5], rows[:, 1] * rows[:, 3])


def test_a_factor_that_another_one_settles_is_refused_with_both_names() -> None:
    frame = bench()
    frame["hand"] = np.where(frame["method"] == "cleft", "AB", "CD")
    with pytest.raises(ts.DesignError) as told:
        fit(frame, "method", "hand")
    assert "method" in told.value.what
    assert "hand" in told.value.what
    assert "cleft with AB 12" in told.value.what
    assert told.value.next_step.startswith("fit method without hand")


def test_an_interaction_with_an_empty_cell_is_refused_with_the_cell() -> None:
    frame = bench()
    frame = frame[~((frame["method"] == "cleft") & (frame["scion_wood"] == "terminal"))]
    with pytest.raises(ts.DesignError, match="no trays of cleft, terminal"):
        fit(frame, "method", "scion_wood", interactions=[["method", "scion_wood"]])


def test_without_the_interaction_the_empty_pair_is_named_in_the_notes() -> None:
    frame = bench()
    frame = frame[~((frame["method"] == "cleft") & (frame["scion_wood"] == "terminal"))]
    model = fit(frame, "method", "scion_wood")
    pairs = empty_pairs(model.design, model.arrays.patterns(model.factors))
    assert [set(pair) for pair in pairs] == [{"cleft", "terminal"}]
    assert any("No tray shows cleft with terminal" in note for note in model.notes)


def test_two_curves_side_by_side_are_refused_together() -> None:
    frame = bench()
    frame["girth_in"] = frame["girth"] / 25.4
    with pytest.raises(ts.DesignError, match=r"correlation over \.95"):
        fit(frame, "method", curves=["girth", "girth_in"])


def test_a_curve_of_three_values_becomes_a_factor_and_says_so() -> None:
    frame = bench()
    frame["buds_left"] = [1, 2, 3] * 8
    model = fit(frame, "method", curves=["buds_left"])
    assert model.factors == ("method", "buds_left")
    assert model.curves == ()
    assert any("fewer than four distinct values" in note for note in model.notes)


def test_a_curve_of_words_is_refused() -> None:
    with pytest.raises(ts.DesignError, match="is no number"):
        fit(bench(), curves=["method"])


def test_several_seasons_become_a_factor_and_weigh_the_same() -> None:
    old = bench(seed=6).assign(season="2024-25", count_date="2025-06-15")
    new = bench().iloc[:12]
    model = fit(pd.concat([old, new], ignore_index=True), "method")
    assert model.factors == ("method", "season")
    assert model.season is None
    assert any("every season weighs the same" in note for note in model.notes)
    newest = fit(pd.concat([old, new], ignore_index=True), "method", season="newest")
    assert newest.season == "2025-26"
    assert newest.trays == 12
    takes = ts.take_rates(model, "season").table.set_index("season")["take_rate"]
    overall = ts.take_rates(model, None).table["take_rate"].iloc[0]
    # 24 trays and 12: each season weighs one half all the same.
    assert overall == pytest.approx(takes.mean(), abs=0.005)
