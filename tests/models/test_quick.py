"""The quick closed form: worked by hand, and what it does where there is no answer."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from takestats.models.belief import Pattern, Population
from takestats.models.correlation import intra_tray_correlation
from takestats.models.quick import QuickBelief, QuickRates, quick_rates

# Baobab, Oct and Nov, cleft and side veneer, 3 replicates of 10, counts worked back from the
# printed percents and standard errors (tests/reference/published/baobab.toml).
BAOBAB = np.array([6, 7, 7, 0, 5, 5, 4, 7, 8, 0, 3, 6], dtype=float)
TENS = np.full(12, 10.0)
CELLS = np.repeat(np.arange(4), 3)


def test_equal_trays_worked_by_hand() -> None:
    # Between-replicate sums of squares 2/3, 50/3, 26/3, 18; variances half of that, sum 22 in
    # grafts, .22 in takes; p (1 - p) sums to .88667: phi_r = 10 x .22 / .88667 = 2.48120.
    # df 8: phi = (8 x 2.48120 + 4 x (1 + .1 x 9)) / 12 = 2.28747; t on 12.
    found = quick_rates(BAOBAB, TENS, CELLS)
    assert found.raw_dispersion == pytest.approx(2.2 / (798 / 900), rel=1e-12)
    assert found.dispersion == pytest.approx(2.28747, abs=5e-6)
    assert found.df == 12
    quantile = stats.t.ppf(0.975, 12)
    rate, low, high = found.limits(0, 0.95)
    assert rate == pytest.approx(2 / 3, rel=1e-12)
    number = 30 / found.dispersion
    middle = (2 * number * rate + quantile**2) / (2 * (number + quantile**2))
    half = (
        quantile
        * math.sqrt(quantile**2 + 4 * number * rate * (1 - rate))
        / (2 * (number + quantile**2))
    )
    assert (low, high) == (pytest.approx(middle - half), pytest.approx(middle + half))


def test_pooled_dispersion_is_close_to_pearsons() -> None:
    # Pearson averages the ratios of the cells (2.513, worked by hand and checked in
    # tests/reference); ours is the ratio of the sums, which a cell near 100 % cannot blow up.
    rate = np.bincount(CELLS, BAOBAB) / np.bincount(CELLS, TENS)
    pearson = np.sum((BAOBAB - 10 * rate[CELLS]) ** 2 / (10 * (rate * (1 - rate))[CELLS])) / 8
    assert pearson == pytest.approx(2.513, abs=5e-4)
    assert quick_rates(BAOBAB, TENS, CELLS).raw_dispersion == pytest.approx(pearson, abs=0.05)
    near_the_top = np.array([40.0, 40, 39, 30, 36, 20]), np.full(6, 40.0), np.repeat([0, 1], 3)
    assert quick_rates(*near_the_top).raw_dispersion > 3


def test_unequal_trays_go_through_the_tray_correlation() -> None:
    taken, tried = np.array([6.0, 18, 9, 3, 30, 14]), np.array([10.0, 20, 12, 8, 40, 20])
    codes = np.repeat([0, 1], 3)
    icc = intra_tray_correlation(taken, tried, codes).estimate
    design_effect = 1 + (np.sum(tried**2) / np.sum(tried) - 1) * icc
    assert quick_rates(taken, tried, codes).raw_dispersion == pytest.approx(design_effect)


@pytest.mark.parametrize(
    ("taken", "tried", "codes"),
    [
        ([20.0, 20, 20], [20.0, 20, 20], [0, 0, 0]),  # all took
        ([0.0, 0, 0], [12.0, 20, 20], [0, 0, 0]),  # none took
        ([17.0, 12], [20.0, 20], [0, 1]),  # one tray a level
        ([1.0, 0, 1], [1.0, 1, 1], [0, 0, 0]),  # trays of one graft
        ([0.0, 0, 1], [1.0, 1, 2], [0, 0, 1]),  # grafts share a tray only where it is alone
        ([5.0], [5000.0], [0]),
        ([1.0], [1.0], [0]),
    ],
)
def test_it_always_answers(taken: list[float], tried: list[float], codes: list[int]) -> None:
    found = quick_rates(np.array(taken), np.array(tried), np.array(codes))
    assert found.dispersion >= 1.0
    for group in range(max(codes) + 1):
        rate, low, high = found.limits(group, 0.95)
        assert 0.0 <= low <= rate <= high <= 1.0
        assert high - low > 0.0


def test_less_spread_than_chance_never_counts_a_graft_twice() -> None:
    even = quick_rates(np.full(40, 10.0), np.full(40, 20.0), np.zeros(40, dtype=int))
    assert even.raw_dispersion == 0.0
    assert even.dispersion == 1.0


def belief() -> tuple[QuickBelief, QuickRates]:
    rates = quick_rates(BAOBAB, TENS, CELLS)
    cells: list[Pattern] = [(m, w) for m in ("cleft", "veneer") for w in ("Oct", "Nov")]
    return QuickBelief(rates, cells), rates


def of(**weights: float) -> Population:
    cells = {"a": ("cleft", "Oct"), "b": ("cleft", "Nov"), "c": ("veneer", "Oct")}
    return Population(
        columns=("method", "month"), weights={cells[name]: w for name, w in weights.items()}
    )


def test_an_average_adds_variances() -> None:
    asked, rates = belief()
    found = asked.take(of(a=3.0, b=1.0), 0.95)
    (rate_a, low_a, high_a), (rate_b, low_b, high_b) = (rates.limits(i, 0.95) for i in (0, 1))
    assert found.estimate == pytest.approx(0.75 * rate_a + 0.25 * rate_b)
    assert found.estimate - found.low == pytest.approx(
        math.hypot(0.75 * (rate_a - low_a), 0.25 * (rate_b - low_b))
    )
    assert found.high - found.estimate == pytest.approx(
        math.hypot(0.75 * (high_a - rate_a), 0.25 * (high_b - rate_b))
    )


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95, 0.99])
def test_the_tail_area_is_where_the_interval_meets_zero(level: float) -> None:
    asked, _ = belief()
    found = asked.difference(of(a=1.0), of(b=1.0), level)
    assert (found.p_value < 1 - level) == (found.low > 0 or found.high < 0)
    edge = asked.difference(of(a=1.0), of(b=1.0), 1 - found.p_value)
    assert min(abs(edge.low), abs(edge.high)) < 1e-7


def test_a_level_against_itself_has_no_difference() -> None:
    asked, _ = belief()
    found = asked.difference(of(a=1.0), of(a=1.0), 0.95)
    assert found.estimate == 0.0
    assert found.p_value == 1.0


def test_odds_of_a_full_level_have_no_bound() -> None:
    rates = quick_rates(np.array([20.0, 20, 15, 12]), np.full(4, 20.0), np.array([0, 0, 1, 1]))
    asked = QuickBelief(rates, [("x",), ("y",)])
    full, part = (Population(columns=("m",), weights={(x,): 1.0}) for x in "xy")
    found = asked.log_odds_ratio(full, part, 0.95, same_tray=False)
    assert found.high == math.inf
    assert math.isfinite(found.low)
    mirror = asked.log_odds_ratio(part, full, 0.95, same_tray=False)
    assert (mirror.low, mirror.high) == (-math.inf, -found.low)


def test_it_knows_which_cells_it_lacks_and_has_no_spread_limits() -> None:
    asked, _ = belief()
    assert asked.missing([("cleft", "Oct"), ("cleft", "May")]) == {("cleft", "May")}
    assert asked.spread(None, 0.95) is None
    assert asked.more_uneven("cleft", "veneer") == 0.5
    assert "2.287" in asked.notes[0]
