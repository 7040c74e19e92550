"""Many two-arm trials at once against the same trials one by one."""

from __future__ import annotations

import numpy as np
import pytest

from takestats.models.batched import batched_posterior, difference_points, pair_weights
from takestats.models.grid import fit_grid, level_trays
from takestats.models.grid_pairs import difference_distribution, take_distribution
from takestats.models.phi_grid import usual_grid

TAILS = (0.025, 0.5, 0.975)


def trials(
    trays: tuple[int, int], size: tuple[int, int], take: tuple[float, float], icc: float
) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng([*trays, *size])
    made = []
    for arm in (0, 1):
        c = (1 - icc) / icc
        takes = rng.beta(take[arm] * c, (1 - take[arm]) * c, (6, trays[arm]))
        made.append(rng.binomial(size[arm], takes))
    made[0][0] = size[0]  # a trial in which all of A took
    return made[0], made[1]


@pytest.mark.parametrize(
    ("trays", "size", "take", "icc"),
    [
        ((3, 3), (12, 12), (0.8, 0.9), 0.05),
        ((5, 8), (20, 40), (0.9, 0.95), 0.1),
        ((20, 20), (40, 40), (0.95, 0.95), 0.02),
        ((10, 3), (12, 30), (0.6, 0.85), 0.2),
    ],
)
def test_limits_are_those_of_single_fits(
    trays: tuple[int, int], size: tuple[int, int], take: tuple[float, float], icc: float
) -> None:
    a, b = trials(trays, size, take, icc)
    many = batched_posterior(a, b, *size)
    found = [many.take_limits(0, TAILS), many.take_limits(1, TAILS), many.difference_limits(TAILS)]
    for row in range(len(a)):
        arms = [
            level_trays(x[row].astype(float), np.full(x.shape[1], float(n)), group)
            for group, (x, n) in enumerate(zip((a, b), size, strict=True))
        ]
        single = fit_grid(arms)
        for arm in (0, 1):
            one = take_distribution(single, arm)
            expected = [one.quantile(share) for share in TAILS]
            np.testing.assert_allclose(found[arm][row], expected, rtol=0, atol=0.001)
        gap = difference_distribution(single, 0, 1)
        expected = [gap.quantile(share) for share in TAILS]
        np.testing.assert_allclose(found[2][row], expected, rtol=0, atol=0.001)


def test_one_trial_does_not_depend_on_the_others() -> None:
    a, b = trials((5, 5), (20, 20), (0.85, 0.9), 0.1)
    together = batched_posterior(a, b, 20, 20).difference_limits(TAILS)
    alone = batched_posterior(a[2:3], b[2:3], 20, 20).difference_limits(TAILS)
    # Masses are kept in single precision: seven digits.
    np.testing.assert_allclose(together[2:3], alone, atol=1e-6)


def test_swapping_the_arms_turns_the_difference_round() -> None:
    a, b = trials((5, 5), (20, 20), (0.85, 0.9), 0.1)
    one = batched_posterior(a, b, 20, 20).difference_limits(TAILS)
    two = batched_posterior(b, a, 20, 20).difference_limits(TAILS)
    # Where all of an arm took, the sum over that arm's cells meets its end point the better.
    np.testing.assert_allclose(one[0], -two[0, ::-1], atol=0.001)
    np.testing.assert_allclose(one[1:], -two[1:, ::-1], atol=2e-4)


def test_masses_are_probabilities() -> None:
    a, b = trials((3, 3), (12, 12), (0.8, 0.9), 0.05)
    many = batched_posterior(a, b, 12, 12)
    np.testing.assert_allclose(many.joint().sum(axis=1), 1.0, atol=2e-6)
    grid = usual_grid()
    weights = pair_weights(grid, grid.takes[:, None] - difference_points()[None, :])
    below = many.below(weights)
    assert np.all(np.diff(below, axis=1) > -2e-6)
    assert np.all(np.abs(below[:, 0]) < 2e-6)
    assert np.all(np.abs(below[:, -1] - 1.0) < 2e-6)


def test_points_are_symmetrical_and_reach_both_ends() -> None:
    points = difference_points()
    assert points[0] == -1.0
    assert points[-1] == 1.0
    np.testing.assert_allclose(points, -points[::-1], atol=1e-15)
