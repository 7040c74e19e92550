"""The spreads averaged over: prior masses against scipy, and what refining keeps."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from takestats.models.spread import (
    Family,
    own_spread_log_odds,
    prior_spread_limits,
    refined_nodes,
    standard_nodes,
)

PRIORS = {"beta_binomial": stats.beta(1, 4), "logit_normal": stats.halfnorm(scale=1.5)}
FAMILIES: tuple[Family, ...] = ("beta_binomial", "logit_normal")


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("fineness", [1, 2, 3])
def test_masses_are_those_of_the_prior(family: Family, fineness: int) -> None:
    nodes = standard_nodes(family, fineness)
    mass = np.exp(nodes.log_mass)
    assert nodes.size == 12 * 2 ** (fineness - 1)
    assert mass.sum() == pytest.approx(1.0, abs=1e-12)
    np.testing.assert_allclose(mass, np.diff(PRIORS[family].cdf(nodes.edges)), atol=1e-12)
    assert np.all(nodes.edges[:-1] < nodes.values)
    assert np.all(nodes.values < nodes.edges[1:])


@pytest.mark.parametrize("family", FAMILIES)
def test_the_far_tail_keeps_its_digits(family: Family) -> None:
    # 1 - cdf would be rounding noise there; the survival function is not.
    nodes = standard_nodes(family, 3)
    tail = PRIORS[family].sf(nodes.edges[-2])
    assert np.exp(nodes.log_mass[-1]) == pytest.approx(tail, rel=1e-9)


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("best", [[0], [5], [11], [4, 9]])
def test_refining_adds_nodes_around_the_best_and_keeps_the_prior(
    family: Family, best: list[int]
) -> None:
    nodes = standard_nodes(family)
    finer = refined_nodes(nodes, best)
    assert np.exp(finer.log_mass).sum() == pytest.approx(1.0, abs=1e-12)
    assert np.all(np.diff(finer.values) > 0)
    for value in nodes.values:
        assert np.min(np.abs(finer.values - value)) < 1e-9
    for index in best:
        low = nodes.values[index - 1] if index else 0.0
        high = nodes.values[index + 1] if index + 1 < nodes.size else np.inf
        assert np.sum((finer.values > low) & (finer.values < high)) >= 7
    for i in range(nodes.size - 1):
        inside = (finer.values > nodes.values[i] + 1e-9) & (finer.values < nodes.values[i + 1])
        inside &= finer.values < nodes.values[i + 1] - 1e-9
        assert inside.any() == any(b in (i, i + 1) for b in best)


def test_no_trays_means_one_node_without_spread() -> None:
    nodes = standard_nodes("binomial")
    assert nodes.size == 1
    assert nodes.log_mass.tolist() == [0.0]


def test_limits_of_the_prior() -> None:
    # Beta(1, 4): 1 - (1 - x)^4, so the quantile q is 1 - (1 - q)^(1/4): by hand.
    low, high = prior_spread_limits("beta_binomial")
    assert low == pytest.approx(1 - 0.975**0.25, rel=1e-12)
    assert high == pytest.approx(1 - 0.025**0.25, rel=1e-12)
    low, high = prior_spread_limits("logit_normal", 0.9)
    assert high == pytest.approx(1.5 * stats.norm.ppf(0.975), rel=1e-12)
    assert low == pytest.approx(1.5 * stats.norm.ppf(0.525), rel=1e-12)


def test_own_spreads_gain_room_with_trays() -> None:
    odds = [own_spread_log_odds(2.0 * trays, 2) for trays in (2, 3, 5, 10, 20)]
    assert odds == sorted(odds)
    assert odds[2] == 0.0
    # Four times as likely at ten trays a level, sixteen times at twenty.
    assert np.exp(odds[3:]) == pytest.approx([4.0, 16.0])
    assert own_spread_log_odds(30.0, 3) == own_spread_log_odds(20.0, 2)
