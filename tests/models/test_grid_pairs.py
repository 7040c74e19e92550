"""Distributions read off the grid: quantiles, differences and odds ratios."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, special, stats

from takestats.models.grid import GridPosterior, fit_grid, level_trays
from takestats.models.grid_pairs import (
    Distribution,
    difference_distribution,
    joint_mass,
    log_odds_ratio_distribution,
    take_distribution,
)

TAILS = (0.025, 0.1, 0.5, 0.9, 0.975)


def counts(*pairs: tuple[int, int]) -> GridPosterior:
    """Levels without trays: the posterior of each take is a Beta, and they are independent."""
    levels = [level_trays(np.array([float(k)]), np.array([float(n)]), 0) for k, n in pairs]
    return fit_grid(levels, families=("binomial",))


def trays() -> GridPosterior:
    return fit_grid([
        level_trays(np.array([17.0, 15, 19, 12]), np.full(4, 20.0), 0),
        level_trays(np.array([20.0, 19, 20, 18]), np.full(4, 20.0), 1),
    ])  # fmt: skip


@pytest.mark.parametrize(
    ("a", "b"),
    [((17, 20), (9, 20)), ((40, 40), (37, 40)), ((0, 12), (3, 12)), ((390, 400), (380, 400))],
)
@pytest.mark.parametrize("point", [-0.2, -0.05, 0.0, 0.01, 0.15])
def test_chance_of_a_difference_below_a_point_is_the_integral_of_two_betas(
    a: tuple[int, int], b: tuple[int, int], point: float
) -> None:
    beta_a = stats.beta(a[0] + 0.5, a[1] - a[0] + 0.5)
    beta_b = stats.beta(b[0] + 0.5, b[1] - b[0] + 0.5)

    def inside(phi: float) -> float:
        take = np.sin(phi) ** 2
        density = beta_a.pdf(take) * 2 * np.sin(phi) * np.cos(phi)
        return float(density * beta_b.sf(np.clip(take - point, 0.0, 1.0)))

    middle = float(np.arcsin(np.sqrt(beta_a.median())))
    expected = sum(
        integrate.quad(inside, lo, hi, limit=400)[0]
        for lo, hi in ((1e-9, middle), (middle, np.pi / 2 - 1e-9))
    )
    found = difference_distribution(counts(a, b), 0, 1).probability_below(point)
    # 97 points, read linearly between them: 3e-3 of probability moves no limit by .001.
    assert found == pytest.approx(expected, abs=3e-3)


@pytest.mark.parametrize(("a", "b"), [((17, 20), (9, 20)), ((390, 400), (370, 400))])
def test_limits_of_a_difference_are_those_of_two_betas(
    a: tuple[int, int], b: tuple[int, int]
) -> None:
    u = (np.arange(4000) + 0.5) / 4000
    one = stats.beta(a[0] + 0.5, a[1] - a[0] + 0.5).ppf(u)
    beta_b = stats.beta(b[0] + 0.5, b[1] - b[0] + 0.5)
    found = difference_distribution(counts(a, b), 0, 1)
    odds = log_odds_ratio_distribution(counts(a, b), 0, 1)
    for share in TAILS:
        below = float(np.mean(beta_b.sf(one - found.quantile(share))))
        assert below == pytest.approx(share, abs=5e-4)
        partner = special.expit(special.logit(one) - odds.quantile(share))
        assert float(np.mean(beta_b.sf(partner))) == pytest.approx(share, abs=5e-4)


def test_a_minus_b_is_minus_b_minus_a() -> None:
    posterior = trays()
    one, two = difference_distribution(posterior, 0, 1), difference_distribution(posterior, 1, 0)
    odds = log_odds_ratio_distribution(posterior, 0, 1)
    back = log_odds_ratio_distribution(posterior, 1, 0)
    for share in TAILS:
        assert one.quantile(share) == pytest.approx(-two.quantile(1 - share), abs=2e-4)
        assert odds.quantile(share) == pytest.approx(-back.quantile(1 - share), abs=5e-3)


def test_the_joint_mass_has_the_takes_as_its_margins() -> None:
    posterior = trays()
    mass = joint_mass(posterior, 0, 1)
    assert mass.sum() == pytest.approx(1.0, abs=1e-12)
    take = take_distribution(posterior, 0)
    edges = np.concatenate([[0.0], np.cumsum(mass.sum(axis=1))])
    np.testing.assert_allclose(take.below, edges, atol=1e-3)  # less an edge correction


def test_levels_are_tied_through_the_spread_they_share() -> None:
    # A common spread makes both takes uncertain together: the joint is not the product.
    posterior = trays()
    mass = joint_mass(posterior, 0, 1)
    product = np.outer(mass.sum(axis=1), mass.sum(axis=0))
    assert np.abs(mass - product).sum() > 0.01


def test_chance_and_quantile_of_a_distribution_are_inverse() -> None:
    points = np.linspace(-4, 4, 97)
    normal = Distribution(points=points, below=stats.norm.cdf(points))
    for share in (0.001, 0.025, 0.5, 0.9, 0.999):
        assert normal.quantile(share) == pytest.approx(stats.norm.ppf(share), abs=1e-6)
    assert normal.probability_below(0.0) == pytest.approx(0.5, abs=1e-12)


def test_a_distribution_that_does_not_reach_a_share_gives_its_end() -> None:
    known = Distribution(points=np.array([0.0, 0.5, 1.0]), below=np.array([0.2, 0.5, 0.7]))
    assert known.quantile(0.1) == 0.0
    assert known.quantile(0.9) == 1.0
