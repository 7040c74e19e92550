"""Costs of steps: what is read, and every fault as it is told."""

from __future__ import annotations

import pytest

from takestats.errors import SettingsError
from takestats.records.cost_steps import CostPlan, CostStep, cost_plan, cost_step
from takestats.records.settings import read_trial, trial_of_sheet


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("1.20", CostStep(name="x", money=1.2)),
        ("1,20", CostStep(name="x", money=1.2)),
        (1.2, CostStep(name="x", money=1.2)),
        (2, CostStep(name="x", money=2.0)),
        ("0.5 min", CostStep(name="x", minutes=0.5)),
        ("0,5 min, 1,20", CostStep(name="x", minutes=0.5, money=1.2)),
        ("30 s; 1.20", CostStep(name="x", minutes=0.5, money=1.2)),
        ("1.5 h", CostStep(name="x", minutes=90.0)),
        ("1.20 EUR, per taken", CostStep(name="x", money=1.2, per="taken")),
        ("EUR 1.20, per saleable plant", CostStep(name="x", money=1.2, per="saleable")),
        ("1, assumed", CostStep(name="x", money=1.0, assumed=True)),
        ("1, only Cleft graft", CostStep(name="x", money=1.0, only=("method", "cleft"))),
        ("1, only SV", CostStep(name="x", money=1.0, only=("method", "side veneer"))),
        ("1, only ours", CostStep(name="x", money=1.0, only=("method", "splice"))),
        (
            "1, only sub-terminal",
            CostStep(name="x", money=1.0, only=("scion_wood", "sub_terminal")),
        ),
        (
            {"minutes": 1, "money": 0.5, "per": "taken", "only": "cleft", "assumed": True},
            CostStep(
                name="x",
                minutes=1.0,
                money=0.5,
                per="taken",
                only=("method", "cleft"),
                assumed=True,
            ),
        ),
    ],
)
def test_a_step_is_read_as_it_was_meant(written: object, meant: CostStep) -> None:
    assert cost_step("x", written, currency="EUR", methods={"ours": "splice"}) == meant


RULE = (
    "A step costs minutes, money or both, as 0.5 min, 1.20; it may be per graft, per taken or per "
    "saleable, only for one method or scion wood, and assumed."
)
NEXT = 'Write it like "0.5 min, 1.20, per taken, only cleft, assumed".'


@pytest.mark.parametrize(
    ("costs", "what", "rule", "next_step"),
    [
        ({"tie": "cheap"}, "costs.tie = 'cheap'", RULE, f'"cheap" is none of these. {NEXT}'),
        ({"tie": "per taken"}, "costs.tie = 'per taken'", RULE, NEXT),
        ({"tie": True}, "costs.tie = True", RULE, NEXT),
        ({"tie": -1}, "costs.tie = -1", RULE, NEXT),
        (
            {"tie": "1,200"},
            "costs.tie = '1,200'",
            "A comma inside a number is a decimal comma.",
            'Is "1,200" 1200 or 1.200? Write it so.',
        ),
        (
            {"tie": "1 min, 2 min"},
            "costs.tie = '1 min, 2 min'",
            RULE,
            '"2 min" says minutes a second time: write it once.',
        ),
        (
            {"tie": "1, per tray"},
            "costs.tie = '1, per tray'",
            RULE,
            'Write per graft, per taken or per saleable for "per tray".',
        ),
        (
            {"tie": "1, only whip"},
            "costs.tie = '1, only whip'",
            "A step is limited to one method or one scion wood.",
            'Is "whip" splice or whip-and-tongue?',
        ),
        (
            {"tie": {"minuts": 1}},
            "costs.tie = {'minuts': 1}",
            "A step has minutes, money, per, only, assumed.",
            '"minuts" is none. Is it "minutes"?',
        ),
        (
            {"prise": 9},
            "costs.prise = 9",
            "What is not currency, hour, price or assumed is the name of a step.",
            'Is it "price"? Else give the step another name.',
        ),
        (
            {"Tie": 1, "tie ": 2},
            "costs.tie = 2",
            "A step stands once.",
            'Put it together with "Tie".',
        ),
        (
            {"hour": "much"},
            "costs.hour = 'much'",
            '"hour" is a number.',
            "Write hour = 5.",
        ),
    ],
)
def test_a_fault_is_told_in_four_parts(
    costs: dict[str, object], what: str, rule: str, next_step: str
) -> None:
    with pytest.raises(SettingsError) as refused:
        read_trial({"costs": costs})
    fault = refused.value
    assert (fault.where, fault.what) == ("settings", what)
    assert (fault.rule, fault.next_step) == (rule, next_step)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(SettingsError) as refused:
        read_trial({"costs": {"a": "x", "b": "y"}, "titel": "t"})
    assert refused.value.what == "titel; costs.a = 'x'; costs.b = 'y'"


def test_a_sheet_and_a_file_say_the_same() -> None:
    sheet = trial_of_sheet(
        [
            ["what", "value"],
            ["costs.currency", "EUR"],
            ["costs.hour", 18],
            ["costs.assumed", "yes"],
            ["costs.tie and seal", "0.5 min, 0.10"],
            ["costs.understock", 2.4],
        ],
        "book.xlsx, sheet trial",
    )
    file = read_trial(
        {
            "costs": {
                "currency": "EUR",
                "hour": 18,
                "assumed": True,
                "tie and seal": {"minutes": 0.5, "money": 0.1},
                "understock": "2.40",
            }
        }
    )
    plans = [cost_plan(given.costs, given.methods) for given in (sheet, file)]
    assert plans[0] == plans[1]
    plan = plans[0]
    assert isinstance(plan, CostPlan)
    assert plan.assumed == "all"
    assert plan.money_of(plan.steps[0]) == pytest.approx(0.5 / 60 * 18 + 0.1, rel=1e-12)
    assert plan.left_out == (
        "scion piece",
        "prepare and graft",
        "label and place",
        "aftercare",
        "grow on",
    )


def test_minutes_without_the_price_of_an_hour_are_named() -> None:
    given = read_trial({"costs": {"tie": "0.5 min, 0.10", "understock": 2}})
    plan = cost_plan(given.costs, {})
    assert plan is not None
    assert plan.without_hour == ("tie",)
    assert plan.money_of(plan.steps[0]) == 0.1


def test_no_step_no_plan() -> None:
    assert cost_plan({}, {}) is None
    assert cost_plan({"hour": 18.0, "currency": "EUR"}, {}) is None
