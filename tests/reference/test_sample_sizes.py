"""Do sizes, powers and two-stage rules give the numbers that others published or computed?

Topic 8 of public_cases.json; sources, software and evidence stand there and in README.md.
Tolerances are the file's own.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

import takestats as ts
from takestats.planning import closed_forms as forms
from takestats.planning.exact_counts import exact_sizes, fisher_power, size_with_failures

CASES = json.loads((Path(__file__).parent / "public_cases.json").read_text(encoding="utf-8"))


def cases(prefix: str) -> list[Any]:
    found = [
        pytest.param(case, id=case["id"])
        for case in CASES
        if case["topic"].startswith("8 ") and case["id"].startswith(prefix)
    ]
    assert found
    return found


def near(case: dict[str, Any]) -> float:
    return float(case["tolerance"]["abs"])


@pytest.mark.parametrize("case", cases("n2_"))
def test_two_arms(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    asked = (data["p1"], data["p2"], 1.0 - data["alpha_two_sided"], data["power"])
    for field, form in (
        ("pooled_null", forms.pooled_size),
        ("arcsine", forms.arcsine_size),
        ("unpooled", forms.unpooled_size),
        ("continuity_corrected", forms.corrected_size),
    ):
        assert form(*asked) == pytest.approx(told[field], abs=near(case))
    assert math.ceil(forms.corrected_size(*asked)) == told["continuity_ceil"]
    for basis, trays in (("normal", told["pooled_ceil"]), ("arcsine", math.ceil(told["arcsine"]))):
        plan = ts.trays_to_tell_apart(
            data["p1"], data["p2"], 1, icc=0, power=data["power"], basis=basis
        )
        assert (plan.trays, plan.grafts) == (trays, 2 * trays)
        assert plan.power >= data["power"] - 1e-3


@pytest.mark.parametrize("case", cases("power2_"))
def test_power_of_a_size(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    for basis, field in (("normal", "pooled_one_tail"), ("arcsine", "arcsine")):
        plan = ts.trays_to_tell_apart(
            data["p1"],
            data["p2"],
            1,
            icc=0,
            basis=basis,
            at_most_grafts=2 * data["n_per_group"],
        )
        assert plan.trays == data["n_per_group"]
        assert not plan.reached
        assert plan.power == pytest.approx(told[field], abs=near(case))


@pytest.mark.parametrize("case", cases("cohen_"))
def test_power_on_the_arcsine_scale(case: dict[str, Any]) -> None:
    data = case["data"]
    found = forms.arcsine_power(data["h"], data["n"], 1.0 - 2.0 * data["alpha_one_sided"])
    assert found == pytest.approx(case["expected"]["power"], abs=near(case))


@pytest.mark.parametrize("case", cases("exact1_"))
def test_exact_one_arm(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    asked = (data["p0"], data["p1"], data["alpha_one_sided"], data["power"])
    found = exact_sizes(*asked, 300)
    assert found is not None
    for test, field in zip(found, ("first", "stable"), strict=True):
        want = told[field]
        least = want.get("crit_reject_if_x_ge", want.get("crit"))
        assert (test.grafts, test.at_least) == (want["n"], least)
        assert test.size == pytest.approx(want["alpha_exact"], abs=1e-6)
        assert test.power == pytest.approx(want["power_exact"], abs=1e-6)
    plan = ts.trays_to_exceed_floor(
        data["p0"],
        data["p1"],
        1,
        icc=0,
        power=data["power"],
        level=1.0 - 2.0 * data["alpha_one_sided"],
        basis="exact",
    )
    assert plan.trays == told["first"]["n"]
    assert plan.power == pytest.approx(told["first"]["power_exact"], abs=1e-6)
    assert any(str(told["stable"]["n"]) in note for note in plan.notes)


@pytest.mark.parametrize("case", cases("noninf_"))
def test_no_worse(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    level = 1.0 - 2.0 * data["alpha_one_sided"]
    asked = (data["p_control"], data["p_new"], data["margin"], level, data["power"])
    assert forms.blackwelder_size(*asked) == pytest.approx(told["blackwelder"], abs=near(case))
    score = forms.score_size(*asked)
    assert score == pytest.approx(told["farrington_manning"], abs=near(case))
    assert math.ceil(score) == told["farrington_manning_ceil"]
    plan = ts.trays_to_show_no_worse(
        *asked[:3], 1, icc=0, power=data["power"], level=level, basis="normal"
    )
    assert plan.trays == told["blackwelder_ceil"]


@pytest.mark.parametrize("case", cases("precision_"))
def test_precision(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    asked = (data["p"], data["half_width"], data["confidence"])
    assert forms.wald_size(*asked) == pytest.approx(told["wald_n"], abs=near(case))
    wilson = forms.wilson_size(*asked)
    assert wilson == pytest.approx(told["wilson_n"], abs=near(case))
    assert math.ceil(wilson) == told["wilson_ceil"]
    plan = ts.trays_to_estimate(*asked[:2], 1, icc=0, level=data["confidence"], basis="normal")
    assert plan.trays == told["wald_ceil"]


@pytest.mark.parametrize("case", cases("zerofail_"))
def test_all_must_take(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    take, confidence = data["p_to_show"], data["confidence"]
    assert forms.all_took_size(take, confidence) == pytest.approx(
        told["n_real"],
        rel=1e-7,  # the file prints eight figures
    )
    plan = ts.trays_to_exceed_floor(
        take, 1.0, 1, icc=0, level=2.0 * confidence - 1.0, basis="exact"
    )
    assert plan.trays == size_with_failures(take, confidence, 0) == told["n"]
    assert take**plan.trays == pytest.approx(told["p_power_n"], abs=1e-6)
    assert take ** (plan.trays - 1) == pytest.approx(told["p_power_n_minus_1"], abs=1e-6)


@pytest.mark.parametrize("case", cases("kfail_"))
def test_a_few_may_fail(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    take, allowed = data["p_to_show"], data["failures_allowed"]
    grafts = size_with_failures(take, data["confidence"], allowed)
    assert grafts == told["n"]
    for number, field in ((grafts, "P(X<=k failures | p) at n"), (grafts - 1, "at n-1")):
        chance = stats.binom.cdf(allowed, number, 1.0 - take)
        assert chance == pytest.approx(told[field], abs=1e-6)


@pytest.mark.parametrize("case", cases("rule3_"))
def test_no_failure_seen(case: dict[str, Any]) -> None:
    n, told = case["data"]["n"], case["expected"]
    one = ts.take_interval(0, n, level=0.9, kind="exact").high
    two = ts.take_interval(0, n, kind="exact").high
    assert one == pytest.approx(told["exact_upper95_one_sided"], abs=near(case))
    assert two == pytest.approx(told["exact_upper_two_sided"], abs=near(case))


@pytest.mark.parametrize("case", cases("cluster_"))
def test_whole_trays(case: dict[str, Any]) -> None:
    data, told = case["data"], case["expected"]
    effect = forms.design_effect(data["m"], data["rho"])
    assert effect == pytest.approx(told["deff"], abs=near(case))
    single = forms.unpooled_size(data["p1"], data["p2"], 1.0 - data["alpha_two_sided"], data["pw"])
    assert single == pytest.approx(told["n_ind_unpooled"], abs=near(case))
    assert single * effect == pytest.approx(told["n_inflated"], abs=near(case))
    assert single * effect / data["m"] == pytest.approx(told["clusters_per_arm"], abs=near(case))
    plan = ts.trays_to_tell_apart(
        data["p1"],
        data["p2"],
        int(data["m"]),
        icc=data["rho"],
        power=data["pw"],
        basis="normal",
    )
    # The plan's formula pools the variance of equal takes; rounded up to trays it is the same.
    assert plan.trays == told["clusters_ceil"]


@pytest.mark.parametrize("case", cases("deffcv_"))
def test_unequal_trays(case: dict[str, Any]) -> None:
    data = case["data"]
    found = forms.design_effect(data["m"], data["rho"], data["cv"])
    assert found == pytest.approx(case["expected"]["deff"], abs=near(case))


@pytest.mark.parametrize("case", cases("fisherpower_"))
def test_fisher(case: dict[str, Any]) -> None:
    data = case["data"]
    found = fisher_power(data["p1"], data["n1"], data["p2"], data["n2"], 1.0 - data["alpha"])
    assert found == pytest.approx(case["expected"]["power"], abs=near(case))
    plan = ts.trays_to_tell_apart(
        data["p1"], data["p2"], 1, icc=0, basis="exact", at_most_grafts=data["n1"] + data["n2"]
    )
    assert plan.power == pytest.approx(case["expected"]["power"], abs=near(case))


@pytest.mark.parametrize(
    ("objective", "field"), [("least_expected", "optimal"), ("least_total", "minimax")]
)
@pytest.mark.parametrize("case", cases("simon_"))
def test_two_stages(case: dict[str, Any], objective: str, field: str) -> None:
    data, told = case["data"], case["expected"][field]
    rule = ts.two_stage(
        data["p0"],
        data["p1"],
        alpha=data["alpha"],
        power=1.0 - data["beta"],
        objective=objective,
    )
    numbers = (rule.drop_at_or_below, rule.first, rule.fail_at_or_below, rule.total)
    assert numbers == (told["r1"], told["n1"], told["r"], told["n"])
    assert rule.size == pytest.approx(told["alpha"], abs=1e-6)
    assert rule.power == pytest.approx(told["power"], abs=1e-6)
    assert rule.stops_early == pytest.approx(told["PET0"], abs=1e-6)
    assert rule.expected_grafts == pytest.approx(told["EN0"], abs=1e-4)
