"""The bins of a new season against the distributions they were made from."""

from __future__ import annotations

import numpy as np
import pytest

from takestats.models.grid_pairs import Distribution
from takestats.models.grouped_seasons import fit_new_kind, fit_seasons
from takestats.order.season_nodes import SeasonNodes

RNG = np.random.default_rng(8)
KIND = np.repeat(np.arange(4), 9)
SEASON = np.tile(np.repeat(np.arange(3), 3), 4)
TRIED = np.full(36, 30.0)
TAKEN = RNG.binomial(30, RNG.beta(14, 2, 36)).astype(float)


def moments(found: Distribution) -> tuple[float, float]:
    """Mean and variance by 20,000 quantiles."""
    values = np.array(found.quantiles(((np.arange(20_000) + 0.5) / 20_000).tolist()))
    return float(values.mean()), float(values.var())


@pytest.mark.parametrize("kinds", [1, 4])
def test_mean_and_variance_of_the_season_and_of_its_trays(kinds: int) -> None:
    mine = kinds > KIND
    fit, place = fit_seasons(TAKEN[mine], TRIED[mine], KIND[mine], SEASON[mine])[0]
    nodes = SeasonNodes.of_fit(fit, place)
    mean, variance = moments(fit.new_season(place))
    assert nodes.weight.sum() == pytest.approx(1.0)
    # Distributions are known at 161 points, bins exactly: .001 of a take.
    assert nodes.mean == pytest.approx(mean, abs=1e-3)
    between = nodes.weight @ (nodes.share**2 + nodes.between) - nodes.mean**2
    assert between == pytest.approx(variance, rel=0.03)
    # A tray of a new season, by another route: the season's and the tray's variance together.
    _, tray = moments(fit.posterior.new_tray(None, place))
    assert between + nodes.weight @ nodes.within == pytest.approx(tray, rel=0.03)


def test_low_quantiles_are_kept() -> None:
    fit, place = fit_seasons(TAKEN, TRIED, KIND, SEASON)[1]
    nodes = SeasonNodes.of_fit(fit, place)
    below = np.cumsum(nodes.weight) - 0.5 * nodes.weight
    for share in (0.02, 0.1, 0.5):
        found = float(np.interp(share, below, nodes.share))
        assert found == pytest.approx(fit.new_season(place).quantile(share), abs=0.005)


def test_a_new_kind_keeps_its_mean_and_its_trays() -> None:
    found = fit_new_kind(TAKEN, TRIED, KIND, SEASON)
    nodes = SeasonNodes.of_new_kind(found)
    assert nodes.mean == pytest.approx(moments(found.take)[0], abs=1e-3)
    between = nodes.weight @ (nodes.share**2 + nodes.between) - nodes.mean**2
    assert between + nodes.weight @ nodes.within == pytest.approx(moments(found.tray)[1], rel=0.05)


def test_no_trays_no_spread_between_them() -> None:
    fit, place = fit_seasons(TAKEN, TRIED, KIND, SEASON, no_trays=True)[0]
    assert not SeasonNodes.of_fit(fit, place).within.any()
