"""What the any-design posterior promises: digits, edges, errors, notes, sizes."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats
from scipy.special import expit

from takestats.errors import CountsError, DesignError
from takestats.models.sampled import draws_for, own_spread_levels, sample_posterior

Floats = NDArray[np.float64]


def season(
    lines: int, coefficients: int, levels: int, seed: int
) -> tuple[Floats, Floats, Floats, NDArray[np.intp]]:
    """Beta-binomial trays with a first factor, and further covariates of both kinds."""
    rng = np.random.default_rng(seed)
    group = np.arange(lines) % levels
    design = [np.ones(lines), *((group == i) * 1.0 for i in range(1, levels))]
    for j in range(coefficients - levels):
        design.append(rng.normal(size=lines) if j % 2 else (rng.random(lines) < 0.5) * 1.0)
    x = np.column_stack(design)
    b = np.r_[1.8, np.full(levels - 1, -0.5), rng.normal(size=coefficients - levels) * 0.3]
    m, c = expit(x @ b), (1 - 0.08) / 0.08
    n = rng.integers(15, 40, lines)
    k = rng.binomial(n, rng.beta(m * c, (1 - m) * c))
    return k.astype(float), n.astype(float), x, group


def test_same_seed_same_digits_and_another_seed_other_digits() -> None:
    k, n, x, g = season(16, 4, 2, 1)
    one = sample_posterior(k, n, x, spread_group=g, seed=3)
    two = sample_posterior(k, n, x, spread_group=g, seed=3)
    other = sample_posterior(k, n, x, spread_group=g, seed=4)
    assert np.array_equal(one.weights, two.weights)
    assert np.array_equal(one.coefficients, two.coefficients)
    assert not np.array_equal(one.coefficients, other.coefficients)


@pytest.mark.parametrize(
    ("lines", "coefficients", "levels", "full"),
    [
        (24, 5, 3, 1),
        pytest.param(24, 5, 2, 0, marks=pytest.mark.calibration),
        pytest.param(8, 2, 2, 1, marks=pytest.mark.calibration),
        pytest.param(300, 8, 3, 0, marks=pytest.mark.calibration),
        pytest.param(2000, 10, 3, 0, marks=pytest.mark.calibration),
    ],
)
def test_limits_move_little_between_seeds(
    lines: int, coefficients: int, levels: int, full: int
) -> None:
    # Bar: over 20 seeds the SD of each limit is at most 2 % of the interval's width.
    k, n, x, g = season(lines, coefficients, levels, 7)
    if full:
        k = np.where(g == 1, n, k)
    rows = np.zeros((levels, coefficients))
    rows[:, 0] = 1.0
    rows[np.arange(1, levels), np.arange(1, levels)] = 1.0
    limits = []
    for seed in range(20):
        post = sample_posterior(k, n, x, spread_group=g, seed=seed)
        takes = post.averaged_take(rows, spread_group=np.arange(levels))
        answers = np.column_stack([takes, takes[:, 0] - takes[:, 1]])
        limits.append(post.quantiles(answers, [0.025, 0.975]))
    found = np.array(limits)
    width = (found[:, 1] - found[:, 0]).mean(axis=0)
    assert (found.std(axis=0, ddof=1) / width).max() < 0.02


def test_weights_and_probabilities_are_shares() -> None:
    k, n, x, g = season(14, 4, 2, 2)
    post = sample_posterior(k, n, x, spread_group=g)
    assert [(p.family, p.own_spread) for p in post.parts] == [
        ("beta-binomial", False),
        ("beta-binomial", True),
        ("logit-normal", False),
        ("logit-normal", True),
    ]
    assert post.weights.sum() == pytest.approx(1.0, abs=1e-12)
    assert sum(p.probability for p in post.parts) == pytest.approx(1.0, abs=1e-12)
    assert all(p.ess >= 400 for p in post.parts)
    assert post.notes == ()


def test_averaged_take_is_the_average_of_the_trays_of_the_draw() -> None:
    k, n, x, g = season(12, 3, 2, 5)
    post = sample_posterior(k, n, x, spread_group=g)
    row = np.array([[1.0, 1.0, 0.3]])
    takes = post.averaged_take(row, spread_group=[1])[:, 0]
    z, w = np.polynomial.hermite_e.hermegauss(80)
    at = 0
    for part in post.parts:
        eta = part.coefficients[::997] @ row[0]
        if part.family == "beta-binomial":
            expected = expit(eta)
        else:
            column = 1 if part.own_spread else 0
            sigma = part.spread_by_draw[::997, column]
            expected = expit(eta[:, None] + sigma[:, None] * z) @ (w / w.sum())
        np.testing.assert_allclose(takes[at : at + part.draws : 997], expected, atol=2e-5)
        at += part.draws


def test_row_weights_average_over_rows() -> None:
    k, n, x, g = season(12, 3, 2, 5)
    post = sample_posterior(k, n, x, spread_group=g)
    each = post.averaged_take(x, spread_group=g)
    mixed = post.averaged_take(x, spread_group=g, row_weights=[n, np.ones(12)])
    np.testing.assert_allclose(mixed[:, 0], each @ n / n.sum(), atol=1e-12)
    np.testing.assert_allclose(mixed[:, 1], each.mean(axis=1), atol=1e-12)


def test_one_level_without_trays_is_the_jeffreys_interval() -> None:
    # Beta(k + 1/2, n - k + 1/2): Brown, Cai & DasGupta 2001, Stat Sci 16:101, eq. 6
    # from memory; limits of the median and the tails from scipy.
    for k, n in ((31, 40), (40, 40), (0, 12)):
        post = sample_posterior([k], [n], [[1.0]], trays=False)
        take = post.averaged_take([[1.0]])[:, 0]
        expected = stats.beta.ppf([0.025, 0.5, 0.975], k + 0.5, n - k + 0.5)
        np.testing.assert_allclose(post.quantiles(take, [0.025, 0.5, 0.975]), expected, atol=0.002)
        assert post.notes == ("grafts counted as if independent: no trays were recorded",)


def test_evidence_without_trays_is_the_closed_form() -> None:
    # Prior sqrt(n m (1 - m)) d logit m: the integral is sqrt(n) C(n, k) B(k + 1/2, n - k + 1/2).
    post = sample_posterior([31], [40], [[1.0]], trays=False)
    from scipy.special import betaln, gammaln

    ways = gammaln(41) - gammaln(32) - gammaln(10)
    expected = 0.5 * np.log(40) + ways + betaln(31.5, 9.5)
    assert post.parts[0].log_evidence == pytest.approx(expected, abs=0.003)


def test_levels_where_every_graft_took_have_an_answer() -> None:
    k, n, x, g = season(12, 2, 2, 9)
    post = sample_posterior(np.where(g == 1, n, k), n, x, spread_group=g)
    takes = post.averaged_take([[1, 0], [1, 1]], spread_group=[0, 1])
    low, middle, high = post.quantiles(takes[:, 1], [0.025, 0.5, 0.975])
    assert 0.8 < low < middle < high <= 1.0
    assert np.isfinite(post.weights).all()


def test_all_grafts_took_in_every_tray_still_answers() -> None:
    post = sample_posterior(
        [20] * 6, [20] * 6, [[1, 0]] * 3 + [[1, 1]] * 3, spread_group=[0, 0, 0, 1, 1, 1]
    )
    takes = post.averaged_take([[1, 0], [1, 1]], spread_group=[0, 1])
    low, high = post.quantiles(takes[:, 0] - takes[:, 1], [0.025, 0.975])
    assert low < 0 < high
    assert low == pytest.approx(-high, abs=0.01)


def test_levels_of_one_tray_share_a_spread() -> None:
    own, notes = own_spread_levels(np.array([4.0, 1.0, 3.0, 1.0]))
    assert own is not None
    assert own.tolist() == [0, 2, 1, 2]
    assert notes == ("levels of one tray share one spread",)
    assert own_spread_levels(np.array([9.0, 1.0])) == (None, ())
    x = [[1, 0, 0]] * 3 + [[1, 1, 0]] * 3 + [[1, 0, 1]]
    post = sample_posterior(
        [18, 15, 20, 11, 19, 14, 17], [20] * 7, x, spread_group=[0, 0, 0, 1, 1, 1, 2]
    )
    assert post.notes == notes
    assert post.parts[1].spread.shape[1] == 3


def test_draws_fall_with_the_lines() -> None:
    lines = (10, 20, 21, 600, 601, 3000, 3001)
    assert [draws_for(n) for n in lines] == [32768, 16384, 8192, 8192, 4096, 4096, 2048]


def test_tray_correlation_covers_the_truth_and_needs_trays() -> None:
    k, n, x, g = season(120, 3, 2, 3)
    post = sample_posterior(k, n, x, spread_group=g)
    for level in (None, 0, 1):
        values, weights = post.tray_correlation(x[g == (level or 0)], level=level)
        assert weights.sum() == pytest.approx(1.0)
        order = np.argsort(values)
        cdf = np.cumsum(weights[order])
        low, high = np.interp([0.005, 0.995], cdf, values[order])
        assert low < 0.08 < high
    with pytest.raises(DesignError, match="no trays were recorded"):
        sample_posterior(k, n, x, trays=False).tray_correlation(x)


def test_same_tray_log_odds_come_from_the_logit_normal_parts() -> None:
    k, n, x, g = season(20, 3, 2, 3)
    post = sample_posterior(k, n, x, spread_group=g)
    values, weights = post.same_tray_log_odds([[0, 1, 0]])
    assert values.shape == (post.parts[2].draws + post.parts[3].draws, 1)
    assert weights.sum() == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("taken", "tried", "design", "error", "text"),
    [
        ([5, 6], [10, 5], [[1.0], [1.0]], CountsError, "6 taken of 5"),
        ([5.5], [10], [[1.0]], CountsError, "5.5 taken of 10"),
        ([0], [0], [[1.0]], CountsError, "no line has a graft at risk"),
        ([5, 5], [10, 10], [[1.0]], DesignError, "2 counts taken, 2 tried"),
        ([5, 5], [10, 10], [[1.0, 2.0], [1.0, 2.0]], DesignError, "column 2 cannot be told apart"),
        ([5], [10], [[np.nan]], DesignError, "not finite"),
    ],
)
def test_faults_are_told(
    taken: list[float],
    tried: list[float],
    design: list[list[float]],
    error: type[Exception],
    text: str,
) -> None:
    with pytest.raises(error, match=text):
        sample_posterior(taken, tried, design)


def test_rows_that_do_not_fit_are_refused() -> None:
    k, n, x, g = season(12, 3, 2, 5)
    post = sample_posterior(k, n, x, spread_group=g)
    with pytest.raises(DesignError, match="2 columns, the fit has 3"):
        post.averaged_take([[1, 0]], spread_group=[0])
    with pytest.raises(DesignError, match="no level of the first factor"):
        post.averaged_take(x)
    with pytest.raises(DesignError, match=r"levels \[5\]"):
        post.averaged_take(x[:1], spread_group=[5])


@pytest.mark.benchmark
@pytest.mark.parametrize(
    ("lines", "coefficients", "seconds"), [(24, 5, 0.25), (300, 8, 2.5), (2000, 10, 12.0)]
)
def test_it_is_fast_enough(lines: int, coefficients: int, seconds: float) -> None:
    from time import perf_counter

    k, n, x, g = season(lines, coefficients, 3, 1)
    times = []
    for _ in range(3):
        start = perf_counter()
        sample_posterior(k, n, x, spread_group=g)
        times.append(perf_counter() - start)
    assert min(times) <= seconds
