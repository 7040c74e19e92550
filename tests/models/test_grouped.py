"""Groups of trays against brute force, and what must hold for any of them."""

from __future__ import annotations

import itertools
import json
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import special, stats

from takestats.models.grid import LevelTrays, fit_grid, level_trays
from takestats.models.grid_pairs import take_distribution
from takestats.models.grouped import fit_groups
from takestats.models.grouped_posterior import GroupedPosterior
from takestats.models.grouped_scale import LogitGrid, averaged_logits, layer, prior_masses
from takestats.models.grouped_tables import GroupTables, logit_grid

Floats = NDArray[np.float64]
# Brute force, by grouped_dense.py beside it.
CASES = json.loads(
    (Path(__file__).parents[1] / "reference" / "grouped_dense_cases.json").read_text("utf-8")
)
TAILS = (0.025, 0.5, 0.975)


def group(trays: list[Any], kind: int = 0) -> LevelTrays:
    counts = np.array(trays, dtype=float)
    return level_trays(counts[:, 0], counts[:, 1], kind)


def simulated(groups: int, trays: int, size: int, between: float, seed: int) -> list[LevelTrays]:
    rng = np.random.default_rng(seed)
    takes = special.expit(2.2 + between * rng.standard_normal(groups))
    found = []
    for take in takes:
        tray_takes = rng.beta(19 * take, 19 * (1 - take), trays)
        found.append(group([(k, size) for k in rng.binomial(size, tray_takes)]))
    return found


def fitted(groups: list[LevelTrays], scale: float = 1.5, fineness: int = 1) -> GroupedPosterior:
    return GroupedPosterior(*fit_groups(groups, between_scale=scale, fineness=fineness))


@pytest.mark.parametrize("case", CASES, ids=["four groups", "all took", "low takes"])
def test_brute_force_gives_the_same_limits(case: dict[str, Any]) -> None:
    found = fitted([group(trays) for trays in case["groups"]], case["between_scale"])
    answers, shares = case["answers"], case["shares"]
    for index in range(len(case["groups"])):
        assert found.group_take(index).quantiles(shares) == pytest.approx(
            answers[str(index)], abs=0.002
        )
    assert found.new_group().quantiles(shares) == pytest.approx(answers["new"], abs=0.005)
    assert found.mean_take().quantiles(shares) == pytest.approx(answers["mean"], abs=0.003)
    # Forty pieces of the prior: each is .02 wide there.
    assert found.between().quantiles(shares[:4]) == pytest.approx(answers["between"], abs=0.01)
    assert found.nodes.log_evidence == pytest.approx(answers["log_evidence"], abs=0.02)
    assert found.nodes.weights[0].sum() == pytest.approx(answers["beta_binomial"], abs=0.005)


@pytest.mark.parametrize("seed", [1, 2])
def test_twice_the_nodes_change_little(seed: int) -> None:
    groups = simulated(6, 4, 30, 0.6, seed)
    coarse, fine = fitted(groups), fitted(groups, fineness=2)
    for index in range(6):
        assert coarse.group_take(index).quantiles(TAILS) == pytest.approx(
            fine.group_take(index).quantiles(TAILS), abs=0.002
        )
    assert coarse.new_group().quantiles(TAILS) == pytest.approx(
        fine.new_group().quantiles(TAILS), abs=0.005
    )


def test_half_the_cells_change_nothing_that_is_read() -> None:
    groups = simulated(8, 3, 40, 0.5, 5)
    usual = logit_grid(groups)
    tables = GroupTables(groups)
    nodes, _ = fit_groups(groups)
    finer = LogitGrid(2 * usual.first, 2 * usual.size - 1, usual.step / 2.0)
    for family, spread in (("beta_binomial", 0.06), ("logit_normal", 0.5)):
        for between in (0.05, 0.2, 0.7):
            found = []
            for grid in (usual, finer):
                value = tables.table(grid, family, spread)  # type: ignore[arg-type]
                mass = (
                    np.log(value.value @ layer(grid, between, 0, grid.size))
                    + (value.log_top[:, None])
                )
                prior = prior_masses(grid, np.array([np.hypot(spread, between)]))[0]
                found.append(special.logsumexp(mass.sum(axis=0), b=prior))
            assert found[0] == pytest.approx(found[1], abs=0.003)
    assert nodes.grid.step <= usual.step


def test_the_prior_on_the_take_averaged_over_everything_is_flat_in_phi() -> None:
    grid = LogitGrid(-160, 321, 0.125)
    mass = prior_masses(grid, np.array([0.0, 0.7, 3.0]))
    assert mass.sum(axis=1) == pytest.approx(np.ones(3))
    logits = averaged_logits(grid, np.array([0.7]))[0]
    direct = np.array(
        [
            stats.norm.expect(special.expit, loc=x, scale=0.7)
            for x in grid.edges[100:220:20].tolist()
        ]
    )
    assert special.expit(logits[100:220:20]) == pytest.approx(direct, abs=1e-6)


@pytest.mark.parametrize("spread", [0.02, 0.08, 0.099, 0.1, 0.3, 2.0])
def test_a_layer_has_its_mean_and_its_variance(spread: float) -> None:
    grid = LogitGrid(-200, 401, 0.125)
    mass = layer(grid, spread, 200, 201)[:, 0]
    assert mass @ grid.middles == pytest.approx(0.0, abs=1e-9)
    assert mass @ grid.middles**2 == pytest.approx(spread**2, rel=2e-3)


def test_more_trays_shrink_a_group_less() -> None:
    many = [(34, 40), (30, 40), (33, 40), (31, 40), (35, 40), (32, 40)]
    others = [group([(38, 40), (39, 40), (37, 40)]) for _ in range(5)]
    pulled = [fitted([group(many[:t]), *others]).shrunk_by(0) for t in (1, 2, 4, 6)]
    assert all(a > b for a, b in itertools.pairwise(pulled))
    assert 0.0 < pulled[-1] < pulled[0] < 1.0


def test_equal_groups_shrink_far_more_than_groups_far_apart() -> None:
    alike = fitted([group([(36, 40), (35, 40), (37, 40)]) for _ in range(10)])
    apart = fitted(
        [group([(k, 40), (k + 1, 40), (k - 1, 40)]) for k in (39, 36, 30, 24, 18, 12, 8)]
    )
    assert alike.shrunk_by(0) > 0.7
    assert apart.shrunk_by(3) < 0.15
    middle, mean = alike.group_take(0).quantile(0.5), alike.mean_take().quantile(0.5)
    assert middle == pytest.approx(mean, abs=0.01)


def test_shrunk_takes_lie_between_their_raw_rate_and_the_mean() -> None:
    groups = [group([(k, 40), (k + 1, 40)]) for k in (39, 37, 35, 30, 26)]
    found = fitted(groups)
    mean = found.mean_take().quantile(0.5)
    for index, trays in enumerate(groups):
        raw = float(trays.taken @ trays.times) / 80.0
        low, high = sorted((raw, mean))
        assert low - 0.005 <= found.group_take(index).quantile(0.5) <= high + 0.005


def test_with_groups_far_apart_a_group_is_its_own_trays() -> None:
    rng = np.random.default_rng(3)
    own = group([(k, 40) for k in rng.binomial(40, 0.8, 12)])
    groups = [own] + [group([(k, 40) for k in rng.binomial(40, p, 12)]) for p in (0.05, 0.5, 0.99)]
    found = fitted(groups).group_take(0).quantiles(TAILS)
    alone = take_distribution(fit_grid([own]), 0).quantiles(TAILS)
    assert found == pytest.approx(alone, abs=0.02)


@pytest.mark.parametrize("taken", [0, 40])
def test_all_or_none_taken_has_finite_limits(taken: int) -> None:
    found = fitted([group([(taken, 40), (taken, 40)]) for _ in range(4)])
    for belief in (
        found.group_take(0),
        found.new_group(),
        found.mean_take(),
        found.new_tray(0),
        found.new_tray(None),
    ):
        low, middle, high = belief.quantiles(TAILS)
        assert 0.0 <= low <= middle <= high <= 1.0
    assert 0.0 <= found.shrunk_by(0) <= 1.0
    assert np.isfinite(found.between().quantiles(TAILS)).all()


def test_taken_and_failed_change_places() -> None:
    trays = [[(35, 40), (38, 40)], [(30, 40), (25, 40)], [(40, 40), (39, 40)]]
    there = fitted([group(t) for t in trays])
    back = fitted([group([(n - k, n) for k, n in t]) for t in trays])
    for index in range(3):
        found = there.group_take(index).quantiles(TAILS)
        mirrored = [1.0 - x for x in back.group_take(index).quantiles(TAILS)][::-1]
        assert found == pytest.approx(mirrored, abs=1e-3)


def test_the_order_of_groups_and_trays_changes_nothing() -> None:
    trays = [[(35, 40), (38, 40)], [(30, 40), (25, 40), (28, 40)], [(40, 40), (39, 40)]]
    there = fitted([group(t) for t in trays])
    back = fitted([group(t[::-1]) for t in trays[::-1]])
    for index in range(3):
        assert there.group_take(index).quantiles(TAILS) == pytest.approx(
            back.group_take(2 - index).quantiles(TAILS), abs=1e-9
        )


def test_the_same_records_give_the_same_digits() -> None:
    first, second = (fitted(simulated(6, 3, 30, 0.6, 4)) for _ in range(2))
    assert first.group_take(2).quantiles(TAILS) == second.group_take(2).quantiles(TAILS)
    assert first.new_tray(None).quantiles(TAILS) == second.new_tray(None).quantiles(TAILS)


def test_a_new_group_is_less_certain_than_the_mean_and_a_new_tray_still_less() -> None:
    found = fitted(simulated(8, 3, 40, 0.6, 7))
    widths = [
        np.diff(belief.quantiles((0.1, 0.9)))[0]
        for belief in (found.mean_take(), found.new_group(), found.new_tray(None))
    ]
    assert widths[0] < widths[1] < widths[2]


def test_a_tray_of_a_group_is_the_groups_take_with_the_tray_spread_over_it() -> None:
    found = fitted(simulated(6, 8, 60, 0.5, 11))
    belief = found.new_tray(1)
    points, below = belief.points, belief.below
    mean = float(np.sum(0.5 * (points[1:] + points[:-1]) * np.diff(below)))
    take = found.group_take(1)
    middle = float(np.sum(0.5 * (take.points[1:] + take.points[:-1]) * np.diff(take.below)))
    assert mean == pytest.approx(middle, abs=0.004)


def test_without_trays_a_group_is_binomial() -> None:
    counts = [(36, 40), (30, 40), (39, 40), (20, 40), (33, 40)]
    found = GroupedPosterior(*fit_groups([group([c]) for c in counts], families=("binomial",)))
    assert found.correlation() is None
    low, high = found.group_take(3).quantiles((0.025, 0.975))
    assert 0.33 < low < 0.5 < high < 0.7


def test_many_groups_refine_the_nodes_and_find_the_truth() -> None:
    found = fitted(simulated(120, 3, 40, 0.6, 2))
    low, high = found.between().quantiles((0.025, 0.975))
    assert low < 0.6 < high
    assert high - low < 0.35
    correlation = found.correlation()
    assert correlation is not None
    low, high = correlation.quantiles((0.025, 0.975))
    assert low < 0.05 < high
    assert found.nodes.between.size > 12


@pytest.mark.benchmark
def test_it_is_quick() -> None:
    eight, many = simulated(8, 4, 40, 0.6, 0), simulated(200, 3, 40, 0.6, 0)
    for groups, bar in ((eight, 0.05), (many, 10.0)):
        fitted(groups).slices  # noqa: B018 - matrices are kept from one fit to the next
        start = time.perf_counter()
        found = fitted(groups)
        limits = [found.group_take(i).quantiles(TAILS) for i in range(len(groups))]
        assert time.perf_counter() - start <= bar
        assert len(limits) == len(groups)
