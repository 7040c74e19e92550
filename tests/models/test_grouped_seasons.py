"""Seasons of combinations: each its own middle, the spread between seasons shared or not."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import special

from takestats.models.grouped_seasons import (
    OWN_SCALE,
    POOLED_SCALE,
    SeasonFit,
    can_pool,
    fit_new_kind,
    fit_seasons,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
SHARES = (0.1, 0.5, 0.9)


def trays(
    combinations: int, seasons: int, between: float = 0.5, seed: int = 1, each: int = 4
) -> tuple[Floats, Floats, Ints, Ints]:
    rng = np.random.default_rng(seed)
    kind = np.repeat(np.arange(combinations), seasons * each)
    season = np.tile(np.repeat(np.arange(seasons), each), combinations)
    middle = 2.2 + 0.6 * rng.standard_normal((combinations, 1))
    theta = (middle + between * rng.standard_normal((combinations, seasons)))[kind, season]
    take = special.expit(theta)
    taken = rng.binomial(40, rng.beta(19 * take, 19 * (1 - take)))
    return taken.astype(float), np.full(kind.size, 40.0), kind, season


def one(combinations: int, seasons: int, **kw: float) -> list[tuple[SeasonFit, int]]:
    return fit_seasons(*trays(combinations, seasons, **kw))  # type: ignore[arg-type]


def test_four_combinations_of_two_seasons_are_pooled_and_three_are_not() -> None:
    *_, kind, season = trays(4, 2)
    assert can_pool(kind, season)
    assert not can_pool(kind[kind < 3], season[kind < 3])
    pooled, alone = one(4, 2), one(3, 2)
    assert all(fit.pooled and fit.scale == POOLED_SCALE for fit, _ in pooled)
    assert len({id(fit) for fit, _ in pooled}) == 1
    assert all(not fit.pooled and fit.scale == OWN_SCALE for fit, _ in alone)
    assert len({id(fit) for fit, _ in alone}) == 3


def test_a_combination_with_one_season_shares_the_pooled_spread() -> None:
    taken, tried, kind, season = trays(5, 3)
    keep = (kind < 4) | (season == 0)
    fits = fit_seasons(taken[keep], tried[keep], kind[keep], season[keep])
    assert fits[4][0].pooled
    assert fits[4][0].seasons[4] == (0,)
    assert [len(seasons) for seasons in fits[0][0].seasons] == [3, 3, 3, 3, 1]


def test_one_season_rests_on_the_assumed_spread_alone() -> None:
    fit, kind = one(1, 1)[0]
    # Half-normal with scale .5: the evidence of one season is the same for every spread.
    median = OWN_SCALE * 0.67449
    assert fit.posterior.between().quantile(0.5) == pytest.approx(median, abs=0.02)
    low, middle, high = fit.new_season(kind).quantiles(SHARES)
    assert low < middle < high


def test_more_seasons_narrow_the_limits() -> None:
    taken, tried, kind, season = trays(1, 6, between=0.3)
    widths = []
    for number in (1, 2, 6):
        keep = season < number
        fit, place = fit_seasons(taken[keep], tried[keep], kind[keep], season[keep])[0]
        low, high = fit.new_season(place).quantiles((0.1, 0.9))
        widths.append(high - low)
    assert widths[0] > widths[1] > widths[2]


def test_a_new_season_is_less_certain_than_the_mean_over_seasons() -> None:
    fit, place = one(5, 4)[2]
    mean, new = fit.posterior.mean_take(place), fit.new_season(place)
    widths = [np.diff(x.quantiles((0.1, 0.9)))[0] for x in (mean, new)]
    assert widths[0] < widths[1]


def test_each_combination_keeps_its_own_mean() -> None:
    taken = np.array([39.0, 38, 39, 38, 20, 21, 19, 20] * 2)
    kind = np.repeat(np.arange(4), 4)
    season = np.tile([0, 0, 1, 1], 4)
    fits = fit_seasons(taken, np.full(16, 40.0), kind, season)
    middles = [fit.new_season(place).quantile(0.5) for fit, place in fits]
    assert middles[0] > 0.9
    assert middles[1] == pytest.approx(0.5, abs=0.05)
    assert middles[0] == pytest.approx(middles[2], abs=1e-6)


def test_a_new_tray_is_one_of_the_newest_season() -> None:
    taken = np.array([20.0, 21, 19, 20, 38, 39, 38, 39])
    season = np.repeat([0, 1], 4)
    none = np.zeros(8, dtype=np.int64)
    fit, place = fit_seasons(taken, np.full(8, 40.0), none, season)[0]
    assert fit.new_tray(place).quantile(0.5) > 0.88
    assert fit.new_season(place).quantile(0.5) < 0.88


def test_a_combination_not_yet_tried_lies_among_those_on_record() -> None:
    found = fit_new_kind(*trays(6, 3))
    low, middle, high = found.take.quantiles(SHARES)
    assert 0.5 < low < middle < high < 1.0
    tray = found.tray.quantiles(SHARES)
    assert tray[2] - tray[0] > high - low


def test_seasons_add_to_what_a_new_combination_may_be() -> None:
    """With alike combinations and uneven years, a new one is as uncertain as a year."""
    taken, tried, kind, season = trays(6, 4, between=0.9, seed=4)
    calm, *_ = trays(6, 4, between=0.0, seed=4)
    wide, narrow = (
        np.diff(fit_new_kind(k, tried, kind, season).take.quantiles((0.1, 0.9)))[0]
        for k in (taken, calm)
    )
    assert wide > narrow


def test_without_trays_seasons_still_differ() -> None:
    taken, tried, kind, season = trays(1, 3)
    fit, place = fit_seasons(taken, tried, kind, season, no_trays=True)[0]
    assert fit.posterior.correlation() is None
    low, high = fit.new_season(place).quantiles((0.1, 0.9))
    assert 0.0 < low < high < 1.0


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_all_or_none_taken_in_every_season(share: float) -> None:
    _, tried, kind, season = trays(4, 2)
    for fit, place in fit_seasons(share * tried, tried, kind, season):
        for belief in (fit.new_season(place), fit.new_tray(place)):
            low, middle, high = belief.quantiles(SHARES)
            assert 0.0 <= low <= middle <= high <= 1.0
