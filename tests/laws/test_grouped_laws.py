"""What must hold of groups and seasons, whatever was counted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from takestats.models.grid import level_trays
from takestats.models.grouped import fit_groups
from takestats.models.grouped_posterior import GroupedPosterior
from takestats.models.grouped_seasons import fit_seasons

TAILS = (0.025, 0.1, 0.5, 0.9, 0.975)
Counts = list[tuple[int, int]]
TRAY = st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
GROUPS = st.lists(st.lists(TRAY, min_size=1, max_size=4), min_size=2, max_size=6)


def fitted(groups: list[Counts]) -> GroupedPosterior:
    levels = []
    for trays in groups:
        counts = np.array(trays, dtype=float)
        levels.append(level_trays(counts[:, 0], counts[:, 1], 0))
    return GroupedPosterior(*fit_groups(levels))


def ordered(values: list[float]) -> bool:
    found: NDArray[np.float64] = np.array(values)
    return bool(
        np.isfinite(found).all() and (np.diff(found) >= 0).all() and 0 <= found[0] <= found[-1] <= 1
    )


@settings(max_examples=25)
@given(GROUPS)
def test_there_is_always_an_answer(groups: list[Counts]) -> None:
    found = fitted(groups)
    for index in range(len(groups)):
        assert ordered(found.group_take(index).quantiles(TAILS))
        assert 0.0 <= found.shrunk_by(index) <= 1.0
    for belief in (found.new_group(), found.mean_take(), found.new_tray(None)):
        assert ordered(belief.quantiles(TAILS))
    assert sum(float(weight.sum()) for weight in found.nodes.weights) == pytest.approx(1.0)


@settings(max_examples=10)
@given(GROUPS, st.randoms(use_true_random=False))
def test_the_order_of_groups_changes_nothing(groups: list[Counts], random: object) -> None:
    order = list(range(len(groups)))
    random.shuffle(order)  # type: ignore[attr-defined]
    there, back = fitted(groups), fitted([groups[i] for i in order])
    for place, index in enumerate(order):
        assert there.group_take(index).quantiles(TAILS) == pytest.approx(
            back.group_take(place).quantiles(TAILS), abs=1e-8
        )


@settings(max_examples=10)
@given(GROUPS)
def test_one_more_graft_taken_never_lowers_the_mean(groups: list[Counts]) -> None:
    k, n = groups[0][0]
    better = [[(k + 1, n + 1), *groups[0][1:]], *groups[1:]]
    worse = [[(k, n + 1), *groups[0][1:]], *groups[1:]]
    high, low = (fitted(item).group_take(0).quantile(0.5) for item in (better, worse))
    assert high >= low - 1e-3


@settings(max_examples=15)
@given(st.lists(st.lists(TRAY, min_size=1, max_size=3), min_size=1, max_size=4))
def test_a_new_season_always_has_a_limit(seasons: list[Counts]) -> None:
    counts = np.array([tray for season in seasons for tray in season], dtype=float)
    season = np.repeat(np.arange(len(seasons)), [len(trays) for trays in seasons])
    none = np.zeros(season.size, dtype=np.int64)
    fit, place = fit_seasons(counts[:, 0], counts[:, 1], none, season)[0]
    assert ordered(fit.new_season(place).quantiles(TAILS))
    assert ordered(fit.new_tray(place).quantiles(TAILS))
    low, high = fit.posterior.between().quantiles((0.025, 0.975))
    assert 0.0 <= low < high
