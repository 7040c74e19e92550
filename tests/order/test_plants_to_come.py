"""The chance that grafts give enough plants: against exact sums, against draws, and its laws."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from takestats.order.plants_to_come import MOST_GRAFTS, PlantsToCome
from takestats.order.season_nodes import SeasonNodes

Floats = NDArray[np.float64]


def one_season(take: float, rho: float) -> SeasonNodes:
    none = np.zeros(1)
    within = np.array([rho * take * (1.0 - take)])
    return SeasonNodes(weight=np.ones(1), share=np.array([take]), between=none, within=within)


def seasons(takes: Floats, rho: float, weight: Floats | None = None) -> SeasonNodes:
    shares = np.full(takes.size, 1.0 / takes.size) if weight is None else weight
    within = rho * takes * (1.0 - takes)
    return SeasonNodes(weight=shares, share=takes, between=np.zeros(takes.size), within=within)


def chances(come: PlantsToCome, grafts: int) -> Floats:
    return np.array([come.chance(grafts, plants) for plants in range(1, grafts + 1)])


def convolved(grafts: int, size: int, take: float, rho: float) -> Floats:
    """Chance of at least 1, 2, ... plants: beta-binomial trays added up exactly."""
    full, rest = divmod(grafts, size)
    alpha, beta = ((1.0 - rho) / rho * x for x in (take, 1.0 - take))
    total = np.ones(1)
    for cells in [size] * full + ([rest] if rest else []):
        total = np.convolve(total, stats.betabinom.pmf(np.arange(cells + 1), cells, alpha, beta))
    return np.asarray(total[::-1].cumsum()[::-1][1:])


@pytest.mark.parametrize(("grafts", "take"), [(1, 0.3), (12, 0.9), (95, 0.8), (400, 0.97)])
def test_without_spread_it_is_the_binomial(grafts: int, take: float) -> None:
    come = PlantsToCome.of(one_season(take, 0.0), None, 30)
    # scipy's own binomial distribution; closed form.
    exact = stats.binom.sf(np.arange(grafts), grafts, take)
    assert chances(come, grafts) == pytest.approx(exact, abs=1e-12)


def test_culls_thin_the_binomial() -> None:
    come = PlantsToCome.of(one_season(0.8, 0.0), SeasonNodes.of_value(0.9), 30)
    assert chances(come, 50) == pytest.approx(stats.binom.sf(np.arange(50), 50, 0.72), abs=1e-12)


@pytest.mark.parametrize("take", [0.5, 0.8, 0.9, 0.97])
@pytest.mark.parametrize("rho", [0.02, 0.06, 0.2])
@pytest.mark.parametrize(("grafts", "size"), [(12, 30), (40, 6), (95, 30), (400, 30)])
def test_one_season_against_trays_added_up(take: float, rho: float, grafts: int, size: int) -> None:
    come = PlantsToCome.of(one_season(take, rho), None, size)
    # No closed form for a sum of trays: .025 is what the approximation is said to hold.
    assert np.abs(chances(come, grafts) - convolved(grafts, size, take, rho)).max() < 0.025


def test_several_seasons_against_trays_added_up() -> None:
    takes = stats.norm.ppf((np.arange(40) + 0.5) / 40)
    takes = 1.0 / (1.0 + np.exp(-(2.0 + 0.5 * takes)))
    come = PlantsToCome.of(seasons(takes, 0.06), None, 30)
    # Two trays, one part full; eight trays.
    for grafts, allowed in ((55, 0.015), (230, 0.004)):
        exact = np.mean([convolved(grafts, 30, float(take), 0.06) for take in takes], axis=0)
        assert np.abs(chances(come, grafts) - exact).max() < allowed


def test_trays_that_differ_in_take_and_cull_against_draws() -> None:
    rng = np.random.default_rng(5)
    draws, grafts, size = 40_000, 100, 30
    takes, kept = np.array([0.7, 0.85, 0.92]), np.array([0.88, 0.95])
    come = PlantsToCome.of(seasons(takes, 0.08), seasons(kept, 0.04), size)
    took, sold = rng.choice(takes, draws), rng.choice(kept, draws)
    total = np.zeros(draws)
    for cells in (30, 30, 30, 10):
        tray = rng.beta(11.5 * took, 11.5 * (1.0 - took))
        keep = rng.beta(24.0 * sold, 24.0 * (1.0 - sold))
        total += rng.binomial(cells, tray * keep)
    # Three of the simulation's own standard errors, and what the approximation may differ.
    for plants in (55, 65, 70, 75, 80, 88):
        measured = float(np.mean(total >= plants))
        noise = 3.0 * np.sqrt(0.25 / draws)
        assert come.chance(grafts, plants) == pytest.approx(measured, abs=0.006 + noise)
    assert come.mean(grafts) == pytest.approx(total.mean(), abs=0.25)


def test_the_fewest_is_the_fewest() -> None:
    come = PlantsToCome.of(seasons(np.array([0.7, 0.8, 0.9]), 0.05), None, 30)
    for wanted in (1, 5, 40, 333):
        grafts = come.fewest_grafts(wanted, 0.9)
        assert grafts is not None
        assert come.chance(grafts, wanted) >= 0.9
        assert all(come.chance(n, wanted) < 0.9 for n in range(wanted, grafts))


def test_plants_reached_and_their_chance_belong_together() -> None:
    come = PlantsToCome.of(seasons(np.array([0.7, 0.8, 0.9]), 0.05), None, 30)
    for chance in (0.1, 0.5, 0.9):
        plants = come.plants_at(120, chance)
        assert come.chance(120, plants) >= chance > come.chance(120, plants + 1)
    assert come.chance(120, 0) == 1.0
    assert come.chance(120, 121) == 0.0


def test_no_number_is_enough_where_nothing_takes() -> None:
    come = PlantsToCome.of(one_season(1e-9, 0.0), None, 30)
    assert come.fewest_grafts(20, 0.9) is None
    assert come.chance(MOST_GRAFTS, 20) < 0.9


TAKES = st.lists(st.floats(0.2, 0.99), min_size=1, max_size=4)
RHO = st.floats(0.0, 0.3)
WANTED = st.integers(1, 400)


def grafts_of(takes: list[float], rho: float, wanted: int, assurance: float) -> int:
    come = PlantsToCome.of(seasons(np.array(takes), rho), None, 30)
    found = come.fewest_grafts(wanted, assurance)
    assert found is not None
    return found


@given(TAKES, RHO, WANTED, st.integers(1, 50))
def test_more_wanted_is_not_fewer_grafts(
    takes: list[float], rho: float, wanted: int, more: int
) -> None:
    assert grafts_of(takes, rho, wanted, 0.9) <= grafts_of(takes, rho, wanted + more, 0.9)


@given(TAKES, RHO, WANTED, st.floats(0.5, 0.99), st.floats(0.0, 0.009))
def test_a_higher_assurance_is_not_fewer_grafts(
    takes: list[float], rho: float, wanted: int, assurance: float, more: float
) -> None:
    low = grafts_of(takes, rho, wanted, assurance)
    assert low <= grafts_of(takes, rho, wanted, assurance + more)


@given(TAKES, RHO, WANTED, st.floats(0.0, 0.5))
def test_a_better_take_is_not_more_grafts(
    takes: list[float], rho: float, wanted: int, better: float
) -> None:
    raised = [take + better * (1.0 - take) for take in takes]
    assert grafts_of(raised, rho, wanted, 0.9) <= grafts_of(takes, rho, wanted, 0.9)


@given(TAKES, RHO, WANTED)
def test_an_order_is_no_smaller_than_all_that_is_wanted(
    takes: list[float], rho: float, wanted: int
) -> None:
    assert grafts_of(takes, rho, wanted, 0.9) >= wanted
