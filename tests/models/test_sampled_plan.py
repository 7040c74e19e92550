"""Which spread vectors are kept: evenly, and with the choice undone by the weights."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import qmc

from takestats.models.sampled_plan import _favoured

MANY, CANDIDATES = 256, 2048


def test_vectors_of_about_equal_worth_are_the_first_sobol_points() -> None:
    rng = np.random.default_rng(1)
    places = rng.random((CANDIDATES, 2))
    chosen, correction = _favoured(places, 0.1 * rng.random(CANDIDATES), MANY, rng)
    assert np.array_equal(chosen, np.arange(MANY))
    assert not correction.any()


@pytest.mark.parametrize("levels", [2, 3, 6])
def test_a_choice_by_worth_is_undone_by_its_weight(levels: int) -> None:
    # Worth along the first two levels; the places sit on a lattice of 64 values, as spreads do.
    means, lattice = [], []
    for seed in range(8):
        rng = np.random.default_rng(seed)
        points = qmc.Sobol(levels, scramble=True, rng=rng).random(CANDIDATES)
        places = np.floor(points * 64) / 64
        worth = 5.0 * places[:, 0] - 4.0 * places[:, 1]
        chosen, correction = _favoured(places, worth, MANY, rng)
        weight = np.exp(worth[chosen] + correction)
        means.append(weight @ np.column_stack([places[chosen], np.ones(MANY)]) / MANY)
        kept = np.exp(worth)
        lattice.append(kept @ np.column_stack([places, np.ones(CANDIDATES)]) / CANDIDATES)
    found, exact = np.array(means), np.array(lattice)
    # Sums over the chosen against sums over all candidates: 3 standard errors of 8 seeds.
    gap = found / exact - 1.0
    assert np.all(np.abs(gap.mean(axis=0)) < 3.0 * gap.std(axis=0, ddof=1) / np.sqrt(8) + 2e-3)
    assert np.abs(gap).max() < 0.1


def test_a_choice_does_not_meet_the_same_values_again_and_again() -> None:
    rng = np.random.default_rng(3)
    points = qmc.Sobol(2, scramble=True, rng=rng).random(CANDIDATES)
    places = np.floor(points * 64) / 64
    chosen, _ = _favoured(places, 3.0 * places[:, 1], MANY, rng)
    used = np.bincount((places[chosen, 0] * 64).astype(int), minlength=64)
    # The first level is worth the same everywhere: each of its 64 values about four times.
    assert (used > 0).sum() >= 56
    assert used.max() <= 14
