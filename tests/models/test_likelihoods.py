"""Log likelihoods of a tray against scipy and against direct integration over trays."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import special, stats

from takestats.models import likelihoods
from takestats.models.averaged_take import theta_of_take
from takestats.models.likelihoods import (
    beta_binomial_table,
    binomial_table,
    log_choose,
    log_likelihood,
    logit_normal_table,
)
from takestats.models.phi_grid import PhiGrid, usual_grid, whole_grid
from takestats.models.spread import standard_nodes

Floats = NDArray[np.float64]

# Trays of one graft, ordinary ones, one of 5,000; none taken and all taken.
TRAYS = [
    (0, 1), (1, 1), (0, 2), (1, 2), (0, 12), (11, 12), (12, 12), (0, 40), (31, 40), (40, 40),
    (200, 250), (250, 250), (0, 5000), (4321, 5000), (4999, 5000), (5000, 5000),
]  # fmt: skip
K = np.array([k for k, _ in TRAYS], dtype=float)
N = np.array([n for _, n in TRAYS], dtype=float)
GRID = usual_grid(24)


def test_the_binomial_is_scipys() -> None:
    grid = whole_grid(24)
    found = binomial_table(K, N, grid)[:, 0, :]
    expected = stats.binom.logpmf(K[:, None], N[:, None], grid.takes)
    # Log gamma of 5,000 is 38,000: its last digit is 1e-11 of that.
    np.testing.assert_allclose(found, expected, rtol=1e-10, atol=1e-7)


def test_the_beta_binomial_is_scipys() -> None:
    nodes = standard_nodes("beta_binomial")
    found = beta_binomial_table(K, N, nodes, GRID)
    size = ((1 - nodes.values) / nodes.values)[:, None]
    for i, (k, n) in enumerate(TRAYS):
        expected = stats.betabinom.logpmf(k, n, size * GRID.takes, size * (1 - GRID.takes))
        # Both are differences of log gammas of up to 4e4: 1e-7 is what is left of 16 digits.
        np.testing.assert_allclose(found[i], expected, rtol=1e-8, atol=1e-7, err_msg=f"{k}/{n}")


def by_trapezoid(k: int, n: int, theta: Floats, sigma: float) -> Floats:
    """The logit-normal integral over z on a step fine enough for 5,000 grafts."""
    z = np.linspace(-9.5, 9.5, 38001)
    out = np.empty(theta.size)
    for i, middle in enumerate(theta):
        logit = middle + sigma * z
        inner = k * special.log_expit(logit) + (n - k) * special.log_expit(-logit)
        out[i] = special.logsumexp(inner - 0.5 * z * z)
    return out - 0.5 * np.log(2 * np.pi) + np.log(z[1] - z[0])


@pytest.mark.parametrize("tray", TRAYS, ids=lambda tray: f"{tray[0]} of {tray[1]}")
def test_the_logit_normal_is_the_integral_over_trays(tray: tuple[int, int]) -> None:
    k, n = tray
    nodes = standard_nodes("logit_normal")
    grid = PhiGrid(0.4, np.pi / 2, 7)
    found = logit_normal_table(np.array([float(k)]), np.array([float(n)]), nodes, grid)[0]
    thetas = theta_of_take(grid.middles, nodes.values)
    choose = float(log_choose(np.array([float(k)]), np.array([float(n)]))[0])
    expected = np.array(
        [by_trapezoid(k, n, thetas[i], s) for i, s in enumerate(nodes.values)]
    )  # fmt: skip
    expected += choose
    # A cell e^-40 below the top has no weight in any answer. Elsewhere the end steps of
    # the logit grid cost up to 5e-5 of a likelihood: a hundredth of what moves a limit by .001.
    matters = expected > expected.max() - 40.0
    np.testing.assert_allclose(found[matters], expected[matters], rtol=0, atol=1e-4)
    assert np.all(found[~matters] < expected.max() - 35.0)


@pytest.mark.parametrize("family", ["beta_binomial", "logit_normal", "binomial"])
@pytest.mark.parametrize("size", [1, 12, 40])
def test_the_chances_of_all_counts_sum_to_one(family: likelihoods.Family, size: int) -> None:
    k = np.arange(size + 1, dtype=float)
    n = np.full(k.size, float(size))
    table = likelihoods.likelihood_table(k, n, standard_nodes(family), GRID)
    # Exact for the closed forms; the logit grid's end steps cost 4e-5 at the widest spread.
    tolerance = 5e-5 if family == "logit_normal" else 1e-9
    np.testing.assert_allclose(np.exp(table).sum(axis=0), 1.0, rtol=0, atol=tolerance)


@pytest.mark.parametrize("family", ["beta_binomial", "logit_normal"])
def test_the_averaged_take_is_the_mean_count(family: likelihoods.Family) -> None:
    # Both families are told by their average: E k / n is the take of the cell.
    k = np.arange(21, dtype=float)
    table = likelihoods.likelihood_table(k, np.full(21, 20.0), standard_nodes(family), GRID)
    mean = np.tensordot(k / 20.0, np.exp(table), axes=(0, 0))
    tolerance = 5e-5 if family == "logit_normal" else 1e-9
    np.testing.assert_allclose(mean, np.broadcast_to(GRID.takes, mean.shape), atol=tolerance)


@pytest.mark.parametrize("family", ["beta_binomial", "logit_normal"])
def test_equal_trays_count_as_often_as_they_are(
    family: likelihoods.Family, monkeypatch: pytest.MonkeyPatch
) -> None:
    nodes = standard_nodes(family)
    k, n, times = np.array([3.0, 9.0, 10.0]), np.array([10.0, 10.0, 12.0]), np.array([2.0, 1, 3])
    once = log_likelihood(k, n, times, nodes, GRID)
    each = np.repeat(np.arange(3), [2, 1, 3])
    spelled = log_likelihood(k[each], n[each], np.ones(6), nodes, GRID)
    np.testing.assert_allclose(once, spelled, rtol=1e-10)
    monkeypatch.setattr(likelihoods, "_LARGEST_TABLE", 1)  # one tray at a time
    # In pieces; a piece of smaller trays may take the coarser of two exact quadratures.
    np.testing.assert_allclose(log_likelihood(k, n, times, nodes, GRID), once, atol=1e-5)
