"""Checks of a model: quiet where the model made the trays, loud where it did not."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import stats

import takestats as ts
from takestats.answers.model_checks import residuals


def records(takes: np.ndarray, **columns: object) -> ts.Records:
    rng = np.random.default_rng(11)
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i:03d}" for i in range(takes.size)],
            "grafted": 30,
            "taken": rng.binomial(30, takes),
            "count_date": "2026-06-15",
            **columns,
        }
    )
    return ts.records_from_frame(frame)


def test_residuals_are_standard_normal_where_the_model_made_the_trays() -> None:
    rng = np.random.default_rng(2)
    model = ts.fit_take(records(rng.beta(9.0, 1.0, 200)), [])
    found = residuals(model)
    # 200 residuals: the 1 % point of the Kolmogorov-Smirnov statistic.
    assert stats.kstest(found, "norm").statistic < 1.63 / np.sqrt(200)
    assert abs(found.mean()) < 3.0 / np.sqrt(200)


def test_the_same_seed_gives_the_same_residuals() -> None:
    model = ts.fit_take(records(np.full(12, 0.9)), [])
    np.testing.assert_array_equal(residuals(model), residuals(model))


def test_a_bend_that_was_not_fitted_is_told() -> None:
    days = np.linspace(-1.0, 1.0, 60)
    takes = 1 / (1 + np.exp(-(3.0 - 4.0 * days**2)))
    bent = records(takes, days=days.round(3))
    straight = records(takes, days=np.repeat([1.0, 2.0, 3.0, 4.0], 15))
    assert (
        "no third of the range"
        in ts.model_checks(ts.fit_take(bent, [], curves=["days"])).in_words()
    )
    # Four distinct values give a straight line: the bend shows in the middle third.
    table = ts.model_checks(ts.fit_take(straight, [], curves=["days"])).table
    misfit = table[table["check"] == "curve misfit"].iloc[0]
    assert misfit["chance"] < 0.01


def test_without_trays_it_says_that_nothing_can_be_checked() -> None:
    frame = pd.DataFrame({"method": ["cleft", "side veneer"], "grafted": 40, "taken": [30, 36]})
    model = ts.fit_take(ts.records_from_frame(frame, trial={"trays": "none"}), ["method"])
    checks = ts.model_checks(model)
    assert "cannot be checked" in checks.in_words()
    assert checks.residuals["residual"].isna().all()


def test_every_check_ends_in_a_sentence() -> None:
    checks = ts.model_checks(ts.fit_take(records(np.full(20, 0.9)), []))
    assert len(checks.sentences) >= len(checks.table)
    assert all(sentence.endswith(".") for sentence in checks.sentences)
    with pytest.raises(AttributeError):
        checks.odd = checks.odd  # type: ignore[misc]
