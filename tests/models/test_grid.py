"""The exact grid against finer grids, brute force, and a closed form."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from takestats.models.grid import (
    GridPosterior,
    LevelTrays,
    fit_grid,
    level_density,
    level_trays,
    spread_groups,
)
from takestats.models.grid_pairs import difference_distribution, take_distribution

Floats = NDArray[np.float64]
TAILS = (0.025, 0.5, 0.975)
REFERENCE = Path(__file__).parents[1] / "reference" / "dense_grid_cases.json"
BRUTE_FORCE = json.loads(REFERENCE.read_text("utf-8"))


def trial(seed: int) -> list[LevelTrays]:
    """Two or three levels; equal and unequal trays; some take everywhere, some nowhere."""
    rng = np.random.default_rng(seed)
    levels = []
    for level in range(3 if seed % 5 == 4 else 2):
        trays = int(rng.choice([2, 3, 5, 8, 12, 20]))
        tried = rng.integers(5, 61, trays) if seed % 2 else np.full(trays, rng.choice([12, 20, 40]))
        take = rng.choice([0.55, 0.8, 0.9, 0.97])
        icc = rng.choice([0.01, 0.05, 0.15, 0.3])
        size = (1 - icc) / icc
        taken = rng.binomial(tried, rng.beta(take * size, (1 - take) * size, trays))
        if level == 1 and seed % 4 == 0:
            taken = tried.copy()  # all took
        if level == 0 and seed % 7 == 3:
            taken = np.zeros_like(tried)  # none took
        levels.append(level_trays(taken.astype(float), tried.astype(float), level))
    return levels


def limits(posterior: GridPosterior) -> dict[str, list[float]]:
    found = {}
    for a in range(len(posterior.grids)):
        take = take_distribution(posterior, a)
        found[f"take {a}"] = [take.quantile(share) for share in TAILS]
        for b in range(a):
            gap = difference_distribution(posterior, a, b)
            found[f"{a} minus {b}"] = [gap.quantile(share) for share in TAILS]
    return found


@pytest.mark.parametrize("seed", range(20))
def test_twice_the_nodes_and_cells_change_no_limit_by_half_a_point(seed: int) -> None:
    levels = trial(seed)
    usual = limits(fit_grid(levels))
    finer = limits(fit_grid(levels, fineness=2, cells=192))
    for name, values in usual.items():
        np.testing.assert_allclose(values, finer[name], rtol=0, atol=0.005, err_msg=name)


@pytest.mark.parametrize("case", BRUTE_FORCE, ids=range(len(BRUTE_FORCE)))
def test_limits_are_those_of_brute_force(case: dict[str, Any]) -> None:
    """tests/reference/dense_grid.py: other code, other quadratures, a much denser grid."""
    arms = []
    for group, name in enumerate(("a", "b")):
        counts = np.array(case[name], dtype=float)
        arms.append(level_trays(counts[:, 0], counts[:, 1], group))
    posterior = fit_grid(arms)
    expected = case["limits"]
    for index, name in enumerate(("a", "b")):
        take = take_distribution(posterior, index)
        np.testing.assert_allclose(
            [take.quantile(share) for share in TAILS], expected[name], rtol=0, atol=0.002
        )
    gap = difference_distribution(posterior, 0, 1)
    np.testing.assert_allclose(
        [gap.quantile(share) for share in TAILS], expected["gap"], rtol=0, atol=0.002
    )
    np.testing.assert_allclose(
        posterior.shares.ravel(), expected["shares"], rtol=0, atol=0.02
    )  # fmt: skip


def test_brute_force_covers_twenty_trials_and_full_levels() -> None:
    assert len(BRUTE_FORCE) == 20
    full = [all(k == n for k, n in case["a"]) for case in BRUTE_FORCE]
    assert 3 <= sum(full) < 20


@pytest.mark.parametrize(
    ("taken", "tried"),
    [(0, 20), (1, 20), (7, 20), (17, 20), (20, 20), (1, 1), (380, 400), (400, 400), (4900, 5000)],
)
def test_without_trays_limits_are_jeffreys(taken: int, tried: int) -> None:
    level = level_trays(np.array([float(taken)]), np.array([float(tried)]), 0)
    found = take_distribution(fit_grid([level], families=("binomial",)), 0)
    expected = stats.beta(taken + 0.5, tried - taken + 0.5).ppf(TAILS)
    gaps = np.abs([found.quantile(share) for share in TAILS] - expected)
    if taken in (0, tried) and tried > 1:
        # Inside the last cell the end limit is 1.3e-4 off; answers print 0 or 100 % there.
        end = 2 if taken else 0
        assert gaps[end] < 2e-4
        gaps[end] = 0.0
    assert np.all(gaps < 1e-4)


def test_one_beta_binomial_tray_without_spread_nodes_is_nearly_binomial() -> None:
    # A tray of one graft carries no spread: Beta(k + 1/2, ...) whatever the spread is.
    level = level_trays(np.array([1.0, 1, 0, 1]), np.ones(4), 0)
    found = take_distribution(fit_grid([level]), 0)
    expected = stats.beta(3.5, 1.5).ppf(TAILS)
    np.testing.assert_allclose(
        [found.quantile(share) for share in TAILS], expected, rtol=0, atol=2e-4
    )


def test_ten_thousand_trays_are_quick_and_sharp() -> None:
    rng = np.random.default_rng(8)
    taken = rng.binomial(20, rng.beta(0.9 * 19, 0.1 * 19, 10_000)).astype(float)
    level = level_trays(taken, np.full(10_000, 20.0), 0)
    start = time.perf_counter()
    posterior = fit_grid([level])
    took = time.perf_counter() - start
    assert took < 20.0  # about 1 s on a quiet core; a slip to one line a tray takes minutes
    assert all(fit.nodes.size > 12 for fit in posterior.families), "no nodes were added"
    low, middle, high = limits(posterior)["take 0"]
    rate = float(taken.mean() / 20.0)
    error = float(np.std(taken / 20.0, ddof=1) / 100.0)
    # So many trays: the interval is that of the mean of the tray rates.
    assert middle == pytest.approx(rate, abs=0.3 * error)
    assert high - low == pytest.approx(2 * 1.96 * error, rel=0.05)


def test_many_trays_on_both_sides_keep_a_smooth_difference() -> None:
    rng = np.random.default_rng(9)
    levels = []
    for group, take in enumerate((0.9, 0.905)):
        taken = rng.binomial(30, rng.beta(take * 30, (1 - take) * 30, 1500)).astype(float)
        levels.append(level_trays(taken, np.full(1500, 30.0), group))
    posterior = fit_grid(levels)
    gap = difference_distribution(posterior, 1, 0)
    rates = [float((x.taken * x.times).sum() / (x.tried * x.times).sum()) for x in levels]
    spread = [limits(posterior)[f"take {i}"] for i in (0, 1)]
    width = np.hypot(*(x[2] - x[0] for x in spread))
    assert gap.quantile(0.5) == pytest.approx(rates[1] - rates[0], abs=0.1 * width)
    assert gap.quantile(0.975) - gap.quantile(0.025) == pytest.approx(width, rel=0.03)


def test_an_all_taken_level_ends_at_100_percent() -> None:
    full = level_trays(np.full(4, 20.0), np.full(4, 20.0), 0)
    usual = level_trays(np.array([17.0, 15, 19, 18]), np.full(4, 20.0), 1)
    posterior = fit_grid([full, usual])
    density = level_density(posterior, 0)
    assert density.argmax() == density.size - 1
    assert take_distribution(posterior, 0).quantile(0.975) > 0.995


def test_an_own_spread_is_believed_when_levels_differ_in_spread() -> None:
    even = level_trays(np.full(12, 18.0), np.full(12, 20.0), 0)
    uneven = level_trays(np.array([20.0, 4] * 6), np.full(12, 20.0), 1)
    posterior = fit_grid([even, uneven])
    assert posterior.shares[:, 1].sum() > 0.95
    alike = fit_grid([even, level_trays(np.full(12, 17.0), np.full(12, 20.0), 1)])
    assert alike.shares[:, 1].sum() < posterior.shares[:, 1].sum() - 0.3


def test_equal_trays_become_one_line() -> None:
    level = level_trays(np.array([3.0, 5, 3]), np.array([9.0, 9, 9]), 2)
    assert level.taken.tolist() == [3, 5]
    assert level.times.tolist() == [2, 1]
    assert level.trays == 3
    assert level.group == 2


@pytest.mark.parametrize(
    ("groups", "trays", "expected"),
    [
        ([0, 1], [5, 5], [0, 1]),
        ([0, 1], [1, 5], [0, 0]),
        ([0, 1, 2], [5, 5, 1], [0, 1, 2]),
        ([0, 1, 2, 3], [5, 5, 1, 1], [0, 1, 2, 2]),
        ([0, 0, 1, 1], [1, 1, 1, 1], [0, 0, 1, 1]),
        ([0], [9], [0]),
    ],
)
def test_a_level_of_one_tray_has_no_spread_of_its_own(
    groups: list[int], trays: list[float], expected: list[int]
) -> None:
    assert spread_groups(groups, trays) == expected
