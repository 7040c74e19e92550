"""What the prior on takes and effects promises: one factor as before, no coding, no units."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import expit

from takestats.models.sampled import sample_posterior
from takestats.models.sampled_prior import coefficient_prior

Floats = NDArray[np.float64]

N = np.array([20.0, 30.0, 12.0, 25.0, 40.0, 18.0])
LEVEL = np.array([0, 0, 0, 1, 1, 1])
CALIPER = np.array([6.0, 7.0, 8.0, 6.5, 7.5, 9.0])
X = np.column_stack([np.ones(6), LEVEL == 1, CALIPER])


def one_graft(x: Floats, b: Floats) -> Floats:
    m = expit(b @ x.T)
    return np.asarray(m * (1.0 - m))


def test_with_one_factor_it_is_jeffreys_on_each_take() -> None:
    x = X[:, :2]
    prior = coefficient_prior(x, N, LEVEL)
    b = np.array([[1.0, -0.5], [3.0, 2.0], [-1.0, 0.3]])
    m = expit(np.column_stack([b[:, 0], b.sum(axis=1)]))
    # Beta(1/2, 1/2) on each take, as a density of its log odds.
    jeffreys = 0.5 * np.log(m * (1.0 - m)).sum(axis=1)
    found = prior.log_density(one_graft(x, b), b)
    assert prior.slopes == 0
    np.testing.assert_allclose(found - found[0], jeffreys - jeffreys[0], atol=1e-12)


def test_coding_units_and_split_lines_change_nothing() -> None:
    b = np.array([[1.0, -0.5, 0.2], [3.0, 2.0, -0.6], [-1.0, 0.3, 0.0]])
    turn = np.array([[1.0, 0.0, 7.0], [0.5, 2.0, 0.0], [0.0, 0.0, 25.4]])
    here = coefficient_prior(X, N, LEVEL).log_density(one_graft(X, b), b)
    there_b = b @ np.linalg.inv(turn).T
    there = coefficient_prior(X @ turn, N, LEVEL).log_density(one_graft(X, b), there_b)
    np.testing.assert_allclose(np.diff(here), np.diff(there), atol=1e-9)
    twice = np.repeat(np.arange(6), 2)
    halves = coefficient_prior(X[twice], N[twice] / 2.0, LEVEL[twice])
    np.testing.assert_allclose(here, halves.log_density(one_graft(X[twice], b), b), atol=1e-9)


def test_the_pull_is_the_gradient() -> None:
    prior = coefficient_prior(X, N, LEVEL)
    b = np.array([0.7, -0.5, 0.4])
    flat = np.full(6, 0.2)
    step = 1e-6
    by_difference = [
        (prior.log_density(flat, b + step * e) - prior.log_density(flat, b - step * e)) / (2 * step)
        for e in np.eye(3)
    ]
    np.testing.assert_allclose(prior.pull(b)[0], by_difference, atol=1e-6)


def test_a_large_effect_is_held_back_less_than_by_a_normal_prior() -> None:
    prior = coefficient_prior(X, N, LEVEL)
    strength = [
        float(np.abs(prior.pull(np.array([0.0, 0.0, slope]))[0]).max()) / slope
        for slope in (0.1, 5.0)
    ]
    assert strength[1] < 0.25 * strength[0]


def test_levels_that_the_design_does_not_tell_apart_are_one_level() -> None:
    prior = coefficient_prior(np.ones((6, 1)), N, LEVEL)
    assert prior.level_grafts.shape == (6, 1)


@pytest.mark.parametrize(
    "k",
    [
        np.array([18.0, 25.0, 9.0, 25.0, 40.0, 18.0]),  # every graft of one level took
        np.array([18.0, 25.0, 9.0, 20.0, 36.0, 12.0]),
        N,  # every graft of all took
    ],
)
def test_limits_match_a_dense_sum_over_the_coefficients(k: Floats) -> None:
    """No trays, one factor and a straight line: three coefficients, summed on a lattice.

    The prior is written out here once more, from its definition. The lattice is
    wider apart for steep slopes.
    """
    middle = np.array([np.average(CALIPER[g == LEVEL], weights=N[g == LEVEL]) for g in (0, 1)])
    centred = CALIPER - middle[LEVEL]
    unit = float(np.average(centred**2, weights=N))
    a = np.linspace(-4.0, 60.0, 641)
    u = np.linspace(-5.0, 5.0, 201)
    slope = 0.5 * np.sinh(u)
    at, bend = np.meshgrid(a, slope, indexing="ij")
    sides = []
    for g in (0, 1):
        height, known = np.zeros_like(at), np.zeros_like(at)
        for i in np.flatnonzero(g == LEVEL):
            eta = at + bend * centred[i]
            height += k[i] * eta - N[i] * np.logaddexp(0.0, eta)
            known += N[i] * expit(eta) * expit(-eta)
        sides.append(height + 0.5 * np.log(np.maximum(known, 1e-300)))
    share = N / N.sum()
    log_slope = -2.5 * np.log1p(slope**2 * unit / 4.0) + np.log(np.cosh(u))
    posterior = sample_posterior(k, N, X, spread_group=LEVEL, trays=False)
    for g in (0, 1):
        other = np.exp(sides[1 - g] - sides[1 - g].max()).sum(axis=0)
        weight = np.exp(sides[g] - sides[g].max()) * other * np.exp(log_slope)
        take = np.einsum(
            "i,ijk->jk", share, expit(at + bend * (CALIPER[:, None, None] - middle[g]))
        )
        order = np.argsort(take.ravel())
        mass = weight.ravel()[order]
        below = (np.cumsum(mass) - 0.5 * mass) / mass.sum()
        want = np.interp([0.025, 0.5, 0.975], below, take.ravel()[order])
        rows = np.column_stack([np.ones(6), np.full(6, float(g)), CALIPER])
        draws = posterior.averaged_take(
            rows, row_weights=share[None, :], spread_group=np.full(6, g)
        )[:, 0]
        found = posterior.quantiles(draws, [0.025, 0.5, 0.975])
        np.testing.assert_allclose(found, want, atol=0.003)
