"""Money: worked again by hand, mapped from the interval of the take, missing things said."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.answers.costs import break_even_take, plant_costs
from takestats.answers.rates import take_rates
from takestats.answers.spending import Spend, cost_per_saleable, cost_per_taken, spent
from takestats.answers.stage_lines import stage_lines
from takestats.answers.stages import stage_shares
from takestats.records.cost_steps import CostPlan, cost_plan
from takestats.records.settings import read_trial
from tests.answers.demo_counts import counts_of, demo_records

COSTS = {
    "currency": "EUR",
    "hour": 18,
    "price": 10,
    "understock": "2.40",
    "tie and seal": "0.5 min, 0.10",
    "head back": "1 min, per taken, only side veneer",
    "grow on": "0.50, per saleable, assumed",
}


def records(costs: dict[str, object] | None = None, **changes: object) -> ts.Records:
    frame = pd.DataFrame(
        {
            "season": ["2026"] * 4,
            "tray": list("ABCD"),
            "method": ["cleft", "cleft", "side veneer", "side veneer"],
            "scion_wood": ["terminal", "basal"] * 2,
            "grafted": [20, 20, 20, 20],
            "taken": [16, 14, 20, 18],
            "saleable": [14, 12, 18, 17],
            "saleable_date": ["2026-09-30"] * 4,
        }
    ).assign(**changes)
    return ts.records_from_frame(frame, trial={"costs": COSTS if costs is None else costs})


def plan(costs: dict[str, object]) -> CostPlan:
    found = cost_plan(read_trial({"costs": costs}).costs, {})
    assert found is not None
    return found


def test_costs_by_method_again_by_hand() -> None:
    result = plant_costs(records(), "method")
    table = result.table.set_index("method")
    graft = 2.40 + 0.10 + 0.5 / 60 * 18
    for method, taken, saleable, after in (("cleft", 30, 26, 0.0), ("side veneer", 38, 35, 0.30)):
        row = table.loc[method]
        assert row["spent_per_graft"] == pytest.approx(graft, rel=1e-12)
        assert row["cost_per_taken"] == pytest.approx(40 * graft / taken + after, rel=1e-12)
        total = 40 * graft + taken * after + saleable * 0.50
        assert row["cost_per_saleable"] == pytest.approx(total / saleable, rel=1e-12)
        # At the break-even take a saleable plant costs what it sells for.
        share = saleable / taken
        spend = Spend(graft, after, 0.50)
        even = row["break_even_take"]
        assert cost_per_saleable(spend, even, share) == pytest.approx(10, rel=1e-12)


def test_the_limits_of_the_take_are_the_limits_of_the_cost_turned_round() -> None:
    known = records()
    raw = stage_shares(known, "method")
    model = ts.fit_take(known, ["method"])
    rates = take_rates(model, "method")
    for result in (plant_costs(known, "method"), plant_costs(known, "method", rates=rates)):
        for row in result.table.to_dict("records"):
            spend = Spend(row["spent_per_graft"], row["spent_per_taken"], 0.0)
            assert row["taken_low"] == cost_per_taken(spend, row["take_high"])
            assert row["taken_high"] == cost_per_taken(spend, row["take_low"])
            assert row["taken_low"] < row["cost_per_taken"] < row["taken_high"]
            assert row["cost_low"] < row["cost_per_saleable"] < row["cost_high"]
    of_model = plant_costs(known, "method", rates=rates).table["take_low"].tolist()
    assert of_model == rates.table["low"].tolist()
    assert plant_costs(known, "method").table["take_low"].tolist() == [
        raw.row("taken", method)["low"] for method in ("cleft", "side veneer")
    ]


def test_the_limits_of_a_saleable_plant_hold_simulated_costs() -> None:
    """Trays drawn with a known take and a known cull: the true cost is known too."""
    rng = np.random.default_rng(5)
    written = {"understock": 4, "grow on": "1, per saleable"}
    true = cost_per_saleable(spent(plan(written)), 0.85, 0.9)
    frame = pd.DataFrame({"tray": list("ABCDEFGH"), "grafted": 24, "taken": 20, "saleable": 18})
    known = ts.records_from_frame(frame.assign(season="2026"), trial={"costs": written})
    lines = stage_lines(known)
    held, runs = 0, 200
    for _ in range(runs):
        taken = rng.binomial(24, rng.beta(0.85 * 19, 0.15 * 19, 8))
        drawn = lines.table.assign(taken=taken.astype(float))
        drawn["saleable"] = rng.binomial(taken, 0.9).astype(float)
        row = plant_costs(known, lines=replace(lines, table=drawn)).table.iloc[0]
        held += row["cost_low"] <= true <= row["cost_high"]
    assert held / runs >= 0.95 - 3 * math.sqrt(0.95 * 0.05 / runs)


def test_the_demo_again_from_its_files() -> None:
    row = plant_costs(demo_records()).table.iloc[0]
    settled = counts_of("2025-26", "settled").values()
    taken = sum(int(tray["taken"]) for tray in settled)
    made = sum(int(tray["grafted"]) - int(tray["missing"]) for tray in settled)
    saleable = sum(int(tray["saleable"]) for tray in settled)
    veneer = sum(int(t["taken"]) for t in settled if t["method"] == "side veneer") / taken
    minutes = 0.25 + 1.5 + 0.5 + 0.3 + 1.2
    graft = 2.40 + 0.10 + 0.08 + 0.05 + 0.40 + minutes / 60 * 18
    after = 2 / 60 * 18 + 1.90 + 0.6 / 60 * 18 * veneer
    assert row["cost_per_taken"] == pytest.approx(graft * made / taken + after, rel=1e-12)
    assert row["cost_per_saleable"] == pytest.approx(
        (graft * made + after * taken) / saleable, rel=1e-12
    )


def test_what_it_says() -> None:
    assert plant_costs(records()).in_words() == (
        "All grafts, partly assumed costs: 2.65 EUR is spent on every graft; a plant that took "
        "costs 3.29 EUR (2.96 to 4.32), 95 % confidence interval, at a take of 85 % in 4 trays, 80 "
        "grafts; a saleable one 4.16 EUR (3.73 to 5.62), 90 % of those that took being saleable."
    )
    notes = " ".join(plant_costs(records()).notes)
    assert (
        "Left out, because no cost is set: scion piece, prepare and graft, label and place" in notes
    )


def test_without_saleable_plants_the_cost_of_one_is_not_shown() -> None:
    result = plant_costs(records(saleable=None, saleable_date=None))
    row = result.table.iloc[0]
    assert math.isnan(row["cost_per_saleable"])
    assert math.isnan(row["break_even_take"])
    assert "per saleable plant: not recorded" in result.in_words()


def test_none_taken_has_no_upper_bound_and_no_price_no_break_even() -> None:
    row = plant_costs(records({"understock": 2}, taken=[0] * 4, saleable=[0] * 4)).table.iloc[0]
    assert math.isinf(row["cost_per_taken"])
    assert math.isnan(row["break_even_take"])


def test_a_step_limited_to_what_no_tray_has_is_named() -> None:
    known = records({"understock": 2, "prune": "1, only saddle"})
    assert plant_costs(known).table["spent_per_graft"].tolist() == [2.0]
    assert any("prune (saddle)" in note for note in plant_costs(known).notes)


def test_no_costs_is_told_in_four_parts() -> None:
    with pytest.raises(ts.SettingsError, match="no costs"):
        plant_costs(records({"hour": 18}))


@pytest.mark.parametrize(
    ("costs", "share", "expected"),
    [
        ({"price": 10, "understock": 4}, 0.8, 0.5),
        ({"price": 10, "understock": 4, "grow on": "2, per saleable"}, 0.5, 1.0),
        ({"price": 10, "understock": 4, "a": "12, per saleable"}, 0.5, math.inf),
        ({"understock": 4}, 0.8, None),
        ({"price": 10, "understock": 4}, math.nan, None),
        ({"price": 10}, 0.8, None),
    ],
)
def test_the_break_even_take(
    costs: dict[str, object], share: float, expected: float | None
) -> None:
    assert break_even_take(read_trial({"costs": costs}), share) == expected
