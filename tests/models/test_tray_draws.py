"""Is a tray's count placed where the beta-binomial distribution of scipy places it?"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from takestats.models.tray_draws import TrayDraws, tray_tail


@pytest.mark.parametrize(
    ("tried", "taken"),
    [(30, 26), (30, 3), (30, 0), (30, 30), (12, 6), (300, 250), (1, 0), (1, 1)],
)
def test_tail_is_that_of_scipy_betabinom(tried, taken):
    # Reference: scipy.stats.betabinom, draw by draw, with the same leave-one-out weights.
    rng = np.random.default_rng(1)
    takes, correlations = rng.uniform(0.7, 0.95, (500, 1)), rng.uniform(0.01, 0.2, (500, 1))
    tail = tray_tail(TrayDraws(takes=takes, correlations=correlations), 0, taken, tried)
    size = (1.0 - correlations[:, 0]) / correlations[:, 0]
    a, b = takes[:, 0] * size, (1.0 - takes[:, 0]) * size
    own = stats.betabinom.logpmf(taken, tried, a, b)
    weight = np.exp(own.min() - own)
    weight = np.minimum(weight, 0.05 * weight.sum())
    weight /= weight.sum()
    # Both sum at most a few hundred chances below 1: rounding alone.
    assert tail.lower == pytest.approx(
        weight @ stats.betabinom.cdf(taken - 1, tried, a, b), abs=1e-11
    )
    assert tail.at == pytest.approx(weight @ np.exp(own), rel=1e-9)
