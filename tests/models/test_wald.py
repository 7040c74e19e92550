"""Limits and p of a Wald difference, against scipy's t distribution and by hand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from takestats.models.wald import WaldFit, as_it_is


@pytest.mark.parametrize("df", [1.0, 3.0, 11.5, 200.0, np.inf])
@pytest.mark.parametrize("level", [0.8, 0.95, 0.999])
def test_limits_and_p_are_those_of_t(df: float, level: float) -> None:
    # Source: scipy.stats.t; the delta method of two groups by hand: each slope is m (1 - m).
    fit = WaldFit(
        method="by hand",
        coefficients=np.array([1.2, 0.3]),
        covariance=np.diag([0.04, 0.09]),
        df=df,
        spread=1.0,
    )
    rows, one = np.eye(2), np.ones(1)
    groups = [(1.0, rows[:1], one), (-1.0, rows[1:], one)]
    found = fit.contrast(groups, level, as_it_is)
    take = 1 / (1 + np.exp(-np.array([1.2, 0.3])))
    error = np.hypot(*(take * (1 - take) * [0.2, 0.3]))
    half = stats.t.ppf(0.5 + level / 2, df) * error
    gap = take[0] - take[1]
    assert [found.low, found.high] == pytest.approx([gap - half, gap + half], rel=1e-12)
    assert found.p_value == pytest.approx(2 * stats.t.sf(gap / error, df), rel=1e-12)
    alone = fit.take(rows[:1], one, level)
    half = stats.t.ppf(0.5 + level / 2, df) * 0.2
    assert alone.low == pytest.approx(1 / (1 + np.exp(half - 1.2)), rel=1e-12)


def test_no_degrees_of_freedom_give_no_limits() -> None:
    fit = WaldFit(
        method="by hand", coefficients=np.ones(1), covariance=np.eye(1), df=0.0, spread=1.0
    )
    assert np.isnan(fit.take(np.ones((1, 1)), np.ones(1), 0.95).low)
