"""A difference inside strata: planted answers come back; two strata are their own difference."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.answers.held import HeldDifference, held_difference
from takestats.errors import DesignError


def _model(takes: dict[tuple[str, str], float], trays: int = 8, **asked: object) -> ts.TakeModel:
    rng = np.random.default_rng(5)
    rows = [
        {"method": method, "donor": donor, "taken": rng.binomial(40, take)}
        for (method, donor), take in takes.items()
        for _ in range(trays)
    ]
    frame = pd.DataFrame(rows).assign(season="2026", grafted=40)
    frame["tray"] = [f"T{i}" for i in range(len(frame))]
    records = ts.records_from_frame(frame)
    return ts.fit_take(records, ["method", "donor"], interactions=[["method", "donor"]], **asked)


def _held(b: float) -> HeldDifference:
    takes = {("cleft", "e"): 0.6, ("veneer cut", "e"): 0.9, ("cleft", "w"): 0.6}
    return held_difference(_model({**takes, ("veneer cut", "w"): b}), "method", "donor")


def test_a_planted_difference_of_differences_comes_back() -> None:
    """Truth 30 points in east, 0 in west: 30 points apart; binomial error about 4 points."""
    held = _held(0.6)
    assert held.verdicts == ("differs",)
    row = held.contrasts.iloc[0]
    assert abs(row["more"]) == pytest.approx(0.30, abs=0.13)
    assert row["low"] * row["high"] > 0
    assert _held(0.9).verdicts == ("holds in all",)


def test_two_strata_part_by_the_difference_of_their_differences() -> None:
    """Medians of draws are not additive to the last digit: a point is allowed."""
    held = _held(0.75)
    table = held.table.set_index("donor")["difference"]
    row = held.contrasts.iloc[0]
    assert row["more"] == pytest.approx(table[row["first"]] - table[row["second"]], abs=0.01)
    assert row["wide_low"] == row["low"]
    assert row["p_adjusted"] == row["p_value"]


def test_three_strata_widen_the_limits_of_the_sentence() -> None:
    takes = {(m, d): t for m, t in (("cleft", 0.7), ("veneer cut", 0.8)) for d in "abc"}
    contrasts = held_difference(_model(takes, trays=4), "method", "donor").contrasts
    assert len(contrasts) == 3
    assert (contrasts["wide_low"] < contrasts["low"]).all()
    assert (contrasts["p_adjusted"] >= contrasts["p_value"]).all()


def test_maximum_likelihood_says_nearly_the_same() -> None:
    """Eight trays a cell without extra spread: the two engines' limits within 3 points."""
    takes = {("cleft", "e"): 0.5, ("veneer cut", "e"): 0.7, ("cleft", "w"): 0.6}
    takes[("veneer cut", "w")] = 0.6
    ours, other = (
        held_difference(_model(takes, engine=engine), "method", "donor").contrasts.iloc[0]
        for engine in ("tray_model", "ml")
    )
    for name in ("more", "low", "high"):
        assert ours[name] == pytest.approx(other[name], abs=0.03)


def test_without_the_interaction_it_is_refused() -> None:
    rng = np.random.default_rng(1)
    frame = pd.DataFrame({"method": ["a cut", "b cut"] * 6, "donor": ["e"] * 6 + ["w"] * 6})
    frame = frame.assign(tray=range(12), grafted=30, taken=rng.binomial(30, 0.8, 12))
    model = ts.fit_take(ts.records_from_frame(frame), ["method", "donor"])
    with pytest.raises(DesignError) as told:
        held_difference(model, "method", "donor")
    assert 'interactions=[["method", "donor"]]' in told.value.next_step
