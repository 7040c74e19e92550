"""Draws from the grid against the grid itself."""

from __future__ import annotations

import numpy as np
import pytest

from takestats.models.grid import GridPosterior, fit_grid, level_density, level_trays
from takestats.models.grid_draws import DRAWS, draw_takes
from takestats.models.grid_pairs import difference_distribution, take_distribution


@pytest.fixture(scope="module")
def posterior() -> GridPosterior:
    """Three levels, two of which share an own spread; the last one took everywhere."""
    return fit_grid([
        level_trays(np.array([17.0, 15, 19, 12, 16]), np.full(5, 20.0), 0),
        level_trays(np.array([38.0, 21, 40, 11]), np.array([40.0, 22, 40, 14]), 1),
        level_trays(np.full(3, 20.0), np.full(3, 20.0), 1),
    ])  # fmt: skip


def test_averages_are_those_of_the_grid(posterior: GridPosterior) -> None:
    takes, _, _ = draw_takes(posterior, 1)
    assert takes.shape == (DRAWS, 3)
    for level in range(3):
        density = level_density(posterior, level)
        grid = posterior.grids[level]
        mean = float(density @ grid.takes)
        spread = float(np.sqrt(density @ (grid.takes - mean) ** 2))
        # Three Monte Carlo standard errors of plain draws; even draws stay well inside.
        assert takes[:, level].mean() == pytest.approx(mean, abs=3 * spread / np.sqrt(DRAWS))


def test_limits_are_those_of_the_exact_distributions(posterior: GridPosterior) -> None:
    takes, _, _ = draw_takes(posterior, 2)
    for level in range(3):
        exact = take_distribution(posterior, level)
        # Of the level that all took the upper limit lies in the last cell; 100 % is printed.
        for share in (0.025, 0.5, 0.975)[: 2 if level == 2 else 3]:
            found = float(np.mean(takes[:, level] <= exact.quantile(share)))
            assert found == pytest.approx(share, abs=3 * np.sqrt(share * (1 - share) / DRAWS))
    for a, b in ((0, 1), (0, 2), (1, 2)):
        gap = difference_distribution(posterior, a, b)
        for share in (0.025, 0.5, 0.975):
            found = float(np.mean(takes[:, a] - takes[:, b] <= gap.quantile(share)))
            assert found == pytest.approx(share, abs=3 * np.sqrt(share * (1 - share) / DRAWS))


def test_families_come_as_often_as_they_are_believed(posterior: GridPosterior) -> None:
    _, family, _ = draw_takes(posterior, 3)
    shares = posterior.shares.sum(axis=1)
    found = np.bincount(family, minlength=2) / DRAWS
    np.testing.assert_allclose(found, shares, atol=3 * 0.5 / np.sqrt(DRAWS))


def test_levels_of_one_own_spread_share_it_in_every_draw(posterior: GridPosterior) -> None:
    _, _, spreads = draw_takes(posterior, 4)
    assert np.array_equal(spreads[:, 1], spreads[:, 2])
    assert not np.array_equal(spreads[:, 0], spreads[:, 1])


def test_the_same_seed_draws_the_same(posterior: GridPosterior) -> None:
    one, two, other = (draw_takes(posterior, seed)[0] for seed in (5, 5, 6))
    assert np.array_equal(one, two)
    assert not np.array_equal(one, other)


def test_two_seeds_give_nearly_the_same_limits(posterior: GridPosterior) -> None:
    # Bar: over seeds the SD of a limit is at most 2 % of the interval's width.
    limits = np.array([
        np.quantile(draw_takes(posterior, seed)[0].mean(axis=1), [0.025, 0.975])
        for seed in range(8)
    ])  # fmt: skip
    width = float(np.mean(limits[:, 1] - limits[:, 0]))
    assert np.all(limits.std(axis=0, ddof=1) < 0.02 * width)


def test_without_spread_draws_come_from_the_betas() -> None:
    level = level_trays(np.array([17.0]), np.array([20.0]), 0)
    takes, family, spreads = draw_takes(fit_grid([level], families=("binomial",)), 1)
    assert takes.mean() == pytest.approx(17.5 / 21.0, abs=1e-3)  # mean of Beta(17.5, 3.5)
    assert set(family) == {0}
    assert set(spreads.ravel()) == {0.0}
