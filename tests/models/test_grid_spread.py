"""The intra-tray correlation read off the grid, against its own integral."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special, stats

from takestats.models.grid import fit_grid, level_trays
from takestats.models.grid_spread import correlation_limits, more_uneven

TAILS = (0.025, 0.5, 0.975)


def by_hand(taken: list[int], tried: list[int]) -> list[float]:
    """Quantiles of rho of one beta-binomial level on a dense grid of rho and phi."""
    root = (np.arange(400) + 0.5) / 400
    rho = root**2
    size = ((1 - rho) / rho)[:, None]
    take = np.sin((np.arange(300) + 0.5) / 300 * np.pi / 2) ** 2
    logs = sum(
        stats.betabinom.logpmf(k, n, size * take, size * (1 - take))
        for k, n in zip(taken, tried, strict=True)
    )
    weight = special.logsumexp(logs, axis=1) + stats.beta(1, 4).logpdf(rho) + np.log(root)
    below = np.cumsum(np.exp(weight - weight.max()))
    return np.interp(TAILS, below / below[-1], ((np.arange(400) + 1) / 400) ** 2).tolist()


@pytest.mark.parametrize(
    ("taken", "tried"),
    [
        ([17, 15, 19, 12], [20, 20, 20, 20]),
        ([38, 12, 40, 25, 33, 39], [40, 22, 40, 34, 40, 40]),
        ([20, 20, 20], [20, 20, 20]),
        ([19, 3, 18, 20, 11, 20, 2, 20], [20] * 8),  # peaks in the widest cell
        ([20, 20, 0, 20], [20] * 4),
        ([9, 9, 9, 9, 9], [10] * 5),
    ],
)
def test_beta_binomial_limits_are_those_of_a_dense_grid(taken: list[int], tried: list[int]) -> None:
    level = level_trays(np.array(taken, dtype=float), np.array(tried, dtype=float), 0)
    found = correlation_limits(fit_grid([level], families=("beta_binomial",)), [0], TAILS)
    # Twelve cells of the spread: inside a cell the likelihood is interpolated.
    np.testing.assert_allclose(found, by_hand(taken, tried), rtol=0, atol=0.015)


def test_one_tray_leaves_the_assumed_range() -> None:
    level = level_trays(np.array([15.0]), np.array([20.0]), 0)
    low, _, high = correlation_limits(fit_grid([level], families=("beta_binomial",)), [0], TAILS)
    assert low < 0.02
    assert high > 0.4  # Beta(1, 4) itself ends at .60


def test_many_trays_find_the_correlation() -> None:
    rng = np.random.default_rng(3)
    taken = rng.binomial(20, rng.beta(0.85 * 9, 0.15 * 9, 600)).astype(float)  # icc 0.1
    level = level_trays(taken, np.full(600, 20.0), 0)
    low, middle, high = correlation_limits(fit_grid([level]), [0], TAILS)
    assert low < 0.1 < high
    assert high - low < 0.05
    assert middle == pytest.approx(0.1, abs=0.025)


def test_which_level_is_more_uneven() -> None:
    even = level_trays(np.full(12, 18.0), np.full(12, 20.0), 0)
    uneven = level_trays(np.array([20.0, 4] * 6), np.full(12, 20.0), 1)
    posterior = fit_grid([even, uneven])
    assert more_uneven(posterior, 1, 0) > 0.975
    assert more_uneven(posterior, 1, 0) + more_uneven(posterior, 0, 1) == pytest.approx(1.0)
    twins = fit_grid([even, level_trays(np.full(12, 18.0), np.full(12, 20.0), 1)])
    assert more_uneven(twins, 0, 1) == pytest.approx(0.5, abs=1e-9)


def test_all_trays_together_lie_between_the_levels() -> None:
    even = level_trays(np.full(12, 18.0), np.full(12, 20.0), 0)
    uneven = level_trays(np.array([20.0, 12, 17, 20, 8, 19] * 2), np.full(12, 20.0), 1)
    posterior = fit_grid([even, uneven])
    calm, wild, both = (correlation_limits(posterior, x, TAILS)[1] for x in ([0], [1], [0, 1]))
    assert calm < both < wild
