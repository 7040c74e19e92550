"""Checks of layers: a bad block is named, good ones left alone, rows of a tray looked at."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import special, stats

import takestats as ts
from takestats.answers.check_layers import layer_checks
from takestats.answers.model_checks import residuals


def _blocks(spread: float, seed: int, blocks: int = 12) -> ts.Records:
    rng = np.random.default_rng(seed)
    effect = np.repeat(rng.normal(0.0, spread, blocks), 4)
    tray = rng.normal(1.5, 0.4, effect.size)
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": [f"T{i:03d}" for i in range(effect.size)],
            "block": np.repeat([f"B{i:02d}" for i in range(blocks)], 4),
            "grafted": 30,
            "taken": rng.binomial(30, special.expit(tray + effect)),
            "count_date": "2026-06-15",
        }
    )
    return ts.records_from_frame(frame)


def test_blocks_that_differ_are_told_when_the_model_has_no_layer_of_them() -> None:
    records = _blocks(1.2, 4)
    said = ts.model_checks(ts.fit_take(records, [], grouping=None)).in_words()
    assert "the model has no layer of blocks, so its limits can be too narrow" in said
    held = ts.model_checks(ts.fit_take(records, [])).in_words()
    assert "No block lies further off than blocks usually do" in held


@pytest.mark.parametrize("spread", [0.0, 0.6])
def test_its_chance_is_one_where_the_model_made_the_trays(spread: float) -> None:
    """Eight sets: a chance below .05 is met at most 3 times (binomial, 1 in 3,000 beyond)."""
    low = 0
    for seed in range(8):
        model = ts.fit_take(_blocks(spread, seed, blocks=6), [])
        (check,) = layer_checks(model, residuals(model))
        low += check.chance < 0.05
    assert low <= stats.binom.ppf(0.9997, 8, 0.05)


def _rows(own: float, seed: int = 2) -> ts.TakeModel:
    rng = np.random.default_rng(seed)
    rows = []
    for tray in range(30):
        shared = rng.normal(0.0, 0.9)
        for method in ("cleft", "side veneer"):
            odds = 1.2 + shared + rng.normal(0.0, own)
            taken = rng.binomial(20, special.expit(odds))
            rows.append({"tray": f"T{tray:02d}", "method": method, "taken": taken})
    frame = pd.DataFrame(rows).assign(season="2026", grafted=20, count_date="2026-06-15")
    return ts.fit_take(ts.records_from_frame(frame), ["method"])


def test_rows_of_one_tray_are_as_alike_as_the_model_takes_them_to_be() -> None:
    model = _rows(0.0)
    (check,) = layer_checks(model, residuals(model))
    assert check.check == "rows of a tray"
    assert check.chance > 0.01
    assert "as alike as the model expects (" in check.sentence
    assert "30 pairs of rows" in check.sentence


def test_rows_that_are_far_more_alike_than_expected_are_told() -> None:
    """Residuals typed by hand: both rows of a tray the same, the check must fail."""
    model = _rows(0.0)
    same = np.repeat(np.random.default_rng(1).normal(0.0, 1.6, 30), 2)
    (check,) = layer_checks(model, same)
    assert check.value > 0
    assert "more alike than the model expects" in check.sentence
