"""What the fits of two layers promise: equalities, laws, edges, notes, speed."""

from __future__ import annotations

from time import perf_counter
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit

from takestats.errors import CountsError, DesignError
from takestats.models.layered import draws_for, sample_layers
from takestats.models.layered_posterior import LayeredPosterior
from takestats.models.sampled import sample_posterior
from takestats.models.sampled_part import SampledPart, takes_of
from takestats.models.sampled_quantiles import weighted_quantiles

Floats = NDArray[np.float64]
WANT = [0.025, 0.5, 0.975]
TWO = np.array([[1.0, 0.0], [1.0, 1.0]])


def blocks(
    count: int, trays: int, *, whole: bool, sd: float, seed: int, tried: int = 20
) -> tuple[Floats, Floats, Floats, NDArray[np.intp]]:
    """Two methods in blocks: a method given to whole blocks, or both in every block."""
    rng = np.random.default_rng(seed)
    unit = np.repeat(np.arange(count), trays)
    method = unit % 2 if whole else np.tile(np.arange(trays) % 2, count)
    effect = sd * rng.normal(size=count)
    eta = 1.3 + 0.6 * method + effect[unit] + 0.3 * rng.normal(size=unit.size)
    k = rng.binomial(tried, expit(eta)).astype(float)
    return k, np.full(unit.size, float(tried)), np.column_stack([np.ones(unit.size), method]), unit


def pairs(
    trays: int, seed: int, tried: int = 12
) -> tuple[Floats, Floats, Floats, NDArray[np.intp]]:
    """Two methods in each tray."""
    rng = np.random.default_rng(seed)
    unit, method = np.repeat(np.arange(trays), 2), np.tile([0.0, 1.0], trays)
    eta = 1.5 + 0.6 * method + 0.7 * rng.normal(size=trays)[unit]
    k = rng.binomial(tried, expit(eta)).astype(float)
    return k, np.full(2 * trays, float(tried)), np.column_stack([np.ones(2 * trays), method]), unit


def fit(
    k: ArrayLike, n: ArrayLike, x: Floats, unit: ArrayLike, *, layer: str, **more: Any
) -> LayeredPosterior:
    """A fit in which the second column of the design tells the levels of the first factor."""
    more.setdefault("level", x[:, 1] if x.shape[1] > 1 else None)
    return sample_layers(k, n, x, unit, layer=layer, **more)  # type: ignore[arg-type]


def limits(post: LayeredPosterior, rows: Floats = TWO) -> Floats:
    """Limits of the takes, and of the last minus the first: ``(3, rows + 1)``."""
    takes = post.averaged_take(rows)
    return post.quantiles(np.column_stack([takes, takes[:, -1] - takes[:, 0]]), WANT)


def limits_of_part(part: SampledPart, rows: Floats = TWO) -> Floats:
    takes = np.concatenate(list(takes_of(part, rows, np.zeros(len(rows), dtype=np.intp))))
    both = np.column_stack([takes, takes[:, -1] - takes[:, 0]])
    return weighted_quantiles(both, part.weights, WANT)


@pytest.mark.parametrize("seed", [1, 2])
def test_one_row_in_each_tray_is_the_engine_of_one_layer(seed: int) -> None:
    # The shared-quantile part is then the beta-binomial with one spread; the normal part
    # without a row effect is the logit-normal one. Both are exact equalities of the models;
    # .002 is what the draws leave. Evidences agree as well.
    rng = np.random.default_rng(seed)
    n = rng.integers(15, 40, 16).astype(float)
    method = np.arange(16) % 2
    k = rng.binomial(n.astype(int), expit(1.5 + 0.5 * method + 0.6 * rng.normal(size=16)))
    x = np.column_stack([np.ones(16), method])
    one = {
        p.family: p
        for p in sample_posterior(k, n, x, spread_group=method).parts
        if not p.own_spread
    }
    two = fit(k, n, x, np.arange(16), layer="rows", level=method, row_effect=False)
    for part in two.layered:
        expected = one[part.family]
        np.testing.assert_allclose(
            limits_of_part(part.view), limits_of_part(expected), atol=0.002, err_msg=part.family
        )
        assert part.view.log_evidence == pytest.approx(expected.log_evidence, abs=0.01)


def test_a_row_effect_of_its_own_only_adds_to_the_trays() -> None:
    # With one row in each tray sigma and omega cannot be told apart: the take moves little.
    k, n, x, _ = pairs(8, 5, tried=20)
    unit = np.arange(16)
    without = fit(k, n, x, unit, layer="rows", row_effect=False)
    with_it = fit(k, n, x, unit, layer="rows")
    np.testing.assert_allclose(limits(with_it), limits(without), atol=0.02)


@pytest.mark.parametrize("layer", ["grouping", "rows"])
def test_coding_order_and_labels_do_not_matter(layer: str) -> None:
    k, n, x, unit = pairs(9, 3)
    turned = x @ np.array([[2.0, -1.0], [0.5, 3.0]])
    order = np.random.default_rng(0).permutation(k.size)
    names = np.array([f"day {9 - i}" for i in unit], dtype=object)
    one = fit(k, n, x, unit, layer=layer)
    two = fit(k[order], n[order], turned[order], names[order], layer=layer, level=x[order, 1])
    rows = TWO @ np.array([[2.0, -1.0], [0.5, 3.0]])
    np.testing.assert_allclose(limits(two, rows), limits(one), atol=1e-6)
    evidence = [[part.log_evidence for part in post.parts] for post in (one, two)]
    np.testing.assert_allclose(evidence[1], evidence[0], atol=1e-6)


def test_same_seed_same_digits_and_another_seed_other_digits() -> None:
    k, n, x, unit = blocks(4, 4, whole=False, sd=0.5, seed=1)
    one, two, other = (fit(k, n, x, unit, layer="grouping", seed=s) for s in (3, 3, 4))
    assert np.array_equal(one.weights, two.weights)
    assert np.array_equal(one.coefficients, two.coefficients)
    assert not np.array_equal(one.coefficients, other.coefficients)


def test_cutting_a_row_of_a_tray_in_two_changes_nothing() -> None:
    k, n, x, unit = pairs(7, 2)
    cut = np.array([2.0, 2.0])
    one = fit(k, n, x, unit, layer="rows")
    two = fit(
        np.r_[cut[0], k[0] - cut[0], k[1:]],
        np.r_[cut[1], n[0] - cut[1], n[1:]],
        np.vstack([x[:1], x]),
        np.r_[unit[:1], unit],
        layer="rows",
    )
    np.testing.assert_allclose(limits(two), limits(one), atol=1e-9)


def test_a_row_without_grafts_changes_nothing() -> None:
    k, n, x, unit = blocks(4, 4, whole=False, sd=0.5, seed=1)
    one = fit(k, n, x, unit, layer="grouping")
    two = fit(
        np.r_[k, 0.0], np.r_[n, 0.0], np.vstack([x, x[:1]]), np.r_[unit, 99], layer="grouping"
    )
    np.testing.assert_allclose(limits(two), limits(one), atol=1e-9)


def width_of_difference(k: Floats, n: Floats, x: Floats, unit: NDArray[np.intp]) -> float:
    found = limits(fit(k, n, x, unit, layer="grouping"))
    return float(found[2, 2] - found[0, 2])


def width_without_blocks(k: Floats, n: Floats, x: Floats) -> float:
    post = sample_posterior(k, n, x, spread_group=x[:, 1].astype(int))
    takes = post.averaged_take(TWO, spread_group=[0, 1])
    low, high = post.quantiles(takes[:, 1] - takes[:, 0], [0.025, 0.975])
    return float(high - low)


def test_both_methods_in_every_block_narrow_the_interval() -> None:
    # Bar: width at most .9 of the ungrouped one at block SD .8; median of five trials.
    ratios = []
    for seed in range(5):
        k, n, x, unit = blocks(6, 4, whole=False, sd=0.8, seed=seed)
        ratios.append(width_of_difference(k, n, x, unit) / width_without_blocks(k, n, x))
    assert np.median(ratios) <= 0.9


def test_a_method_given_to_whole_blocks_widens_it() -> None:
    ratios = []
    for seed in range(5):
        k, n, x, unit = blocks(6, 4, whole=True, sd=0.8, seed=seed)
        ratios.append(width_of_difference(k, n, x, unit) / width_without_blocks(k, n, x))
    assert min(ratios) > 1.0
    assert np.median(ratios) >= 1.2


@pytest.mark.parametrize("layer", ["grouping", "rows"])
def test_every_graft_took_everywhere(layer: str) -> None:
    unit, method = np.repeat(np.arange(5), 2), np.tile([0.0, 1.0], 5)
    x = np.column_stack([np.ones(10), method])
    post = fit([20] * 10, [20] * 10, x, unit, layer=layer)
    found = limits(post)
    assert np.isfinite(found).all()
    assert np.all(found[0, :2] > 0.75)
    assert found[0, 2] < 0.0 < found[2, 2]
    assert found[0, 2] == pytest.approx(-found[2, 2], abs=0.015)
    mirror = limits(fit([0] * 10, [20] * 10, x, unit, layer=layer))
    np.testing.assert_allclose(mirror[:, :2], 1.0 - found[::-1, :2], atol=0.015)


@settings(max_examples=8)
@given(
    st.lists(
        st.tuples(st.integers(0, 12), st.integers(1, 12), st.integers(0, 3), st.booleans()),
        min_size=3,
        max_size=12,
    ),
    st.sampled_from(["grouping", "rows"]),
)
def test_there_is_always_an_answer(lines: list[tuple[int, int, int, bool]], layer: str) -> None:
    k = [min(a, b) for a, b, _, _ in lines]
    n = [b for _, b, _, _ in lines]
    method = np.array([float(m) for *_, m in lines])
    x = (
        np.column_stack([np.ones(len(lines)), method])
        if 0 < method.sum() < len(lines)
        else (np.ones((len(lines), 1)))
    )
    post = fit(k, n, x, [g for *_, g, _ in lines], layer=layer)
    takes = post.averaged_take(x)
    found = post.quantiles(takes, WANT)
    assert np.isfinite(post.weights).all()
    assert np.isfinite(found).all()
    assert np.all((found >= 0.0) & (found <= 1.0))
    assert np.all(np.diff(found, axis=0) >= 0.0)


@pytest.mark.parametrize(
    ("layer", "seed"),
    [("grouping", 1), pytest.param("rows", 2, marks=pytest.mark.calibration)],
)
def test_limits_move_little_between_seeds(layer: str, seed: int) -> None:
    # Bar: over the seeds the SD of each limit is at most 2 % of the interval's width.
    trial = blocks(6, 4, whole=True, sd=0.6, seed=seed) if layer == "grouping" else pairs(20, seed)
    found = np.array([limits(fit(*trial, layer=layer, seed=s)) for s in range(12)])
    width = (found[:, 2] - found[:, 0]).mean(axis=0)
    assert (found[:, [0, 2]].std(axis=0, ddof=1) / width).max() < 0.02


def test_spreads_of_the_layers() -> None:
    k, n, x, unit = blocks(12, 6, whole=False, sd=0.8, seed=4, tried=40)
    post = fit(k, n, x, unit, layer="grouping")
    # Truth: groups .8 and trays .3 on the log odds.
    for which, truth in (("group", 0.8), ("tray", 0.3)):
        values, weights = post.spread_draws(which)  # type: ignore[arg-type]
        assert weights.sum() == pytest.approx(1.0)
        low, high = weighted_quantiles(values, weights, [0.01, 0.99])
        assert low < truth < high
    icc, weights = post.tray_correlation(x)
    shared, shared_weights = post.unit_correlation(x)
    middle = weighted_quantiles(icc, weights, [0.5])[0]
    assert 0.0 < middle < 0.5
    assert 0.0 < weighted_quantiles(shared, shared_weights, [0.5])[0] < 0.5
    with pytest.raises(DesignError, match="'row' of a fit with grouping"):
        post.spread_draws("row")


def test_same_tray_log_odds_come_from_the_logit_normal_part() -> None:
    k, n, x, unit = pairs(20, 3)
    post = fit(k, n, x, unit, layer="rows")
    values, weights = post.same_tray_log_odds([[0.0, 1.0]])
    assert values.shape == (post.layered[1].view.draws, 1)
    low, high = weighted_quantiles(values[:, 0], weights, [0.001, 0.999])
    assert low < 0.6 < high


def test_draws_fall_with_the_rows() -> None:
    assert [draws_for(n, n, "grouping") for n in (10, 20, 21, 600, 601)] == [
        32768, 16384, 8192, 8192, 4096,
    ]  # fmt: skip
    # Trays alike are merged into few rows, and still are many trays.
    assert [draws_for(10, 601, "grouping"), draws_for(21, 601, "grouping")] == [32768, 4096]
    assert draws_for(21, 21, "rows") == 4096


@pytest.mark.parametrize(
    ("unit", "layer", "scale", "error", "text"),
    [
        (["a"], "grouping", 1.5, DesignError, "1 labels of groups for 2 lines"),
        (["a", "b"], "blocks", 1.5, DesignError, "'blocks'"),
        (["a", "b"], "grouping", 0.0, DesignError, "scale 0.0"),
    ],
)
def test_faults_are_told(
    unit: list[str], layer: str, scale: float, error: type[Exception], text: str
) -> None:
    with pytest.raises(error, match=text):
        sample_layers([5, 5], [10, 10], [[1.0], [1.0]], unit, layer=layer, group_scale=scale)  # type: ignore[arg-type]
    with pytest.raises(CountsError, match="11 taken of 10"):
        sample_layers([11, 5], [10, 10], [[1.0], [1.0]], ["a", "b"], layer="rows")


@pytest.mark.benchmark
@pytest.mark.parametrize(("name", "seconds"), [("sixty", 1.5), ("paired", 0.3), ("caliper", 1.0)])
def test_it_is_fast_enough(name: str, seconds: float) -> None:
    rng = np.random.default_rng(3)
    if name == "paired":
        trial, layer = pairs(20, 3), "rows"
    elif name == "sixty":
        unit = np.arange(60) % 10
        x = np.column_stack([np.ones(60), rng.integers(0, 2, (60, 2)), rng.normal(size=60)])
        n = rng.integers(15, 40, 60)
        eta = x @ [1.5, 0.5, -0.3, 0.2] + 0.6 * rng.normal(size=10)[unit]
        trial = (rng.binomial(n, expit(eta)).astype(float), n.astype(float), x, unit)
        layer = "grouping"
    else:
        unit = np.repeat(np.arange(23), 4)[:90]
        x = np.column_stack([np.ones(90), np.tile([0, 0, 1, 1], 23)[:90], np.arange(90) % 2])
        n = rng.integers(4, 9, 90)
        eta = x @ [1.4, 0.5, 0.3] + 0.7 * rng.normal(size=23)[unit]
        trial = (rng.binomial(n, expit(eta)).astype(float), n.astype(float), x.astype(float), unit)
        layer = "rows"
    times = []
    for _ in range(3):
        start = perf_counter()
        fit(*trial, layer=layer)
        times.append(perf_counter() - start)
    assert min(times) <= seconds
