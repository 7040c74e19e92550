"""Is the planned question answered first, by its own rule, from the numbers of the page?"""

from __future__ import annotations

import pytest

from takestats.answers.gaps import differences
from takestats.answers.rates import take_rates
from takestats.models.fit import fit_take
from takestats.pages.question_topic import rule_kind
from takestats.pages.season_page import season_report
from takestats.planning.plan_settings import plan_settings
from takestats.planning.two_stage import two_stage
from tests.pages.small_seasons import SETTINGS, small_records

APART = "The two differ if the 95 % confidence interval lies wholly on one side of 0."
NO_WORSE = "No worse if the lower limit lies above the margin."
FLOOR = "Above the floor if the lower limit lies above it."
WIDTH = "The take is known well enough if its interval reaches no further."


def _report(**trial):
    given = {"standard": "cleft", "new": "side veneer", "randomised": "tray", **trial}
    settings = {**SETTINGS, "compare": {"factors": ["method"]}, "trial": given}
    return season_report(small_records(settings))


def _first(report) -> str:
    return report.sentences[0]


@pytest.mark.parametrize(
    ("rule", "stages", "kind"),
    [
        ("", (), None),
        (APART, (), "apart"),
        ("tell-apart", (), "apart"),
        (NO_WORSE, (), "no worse"),
        (FLOOR, (), "floor"),
        (WIDTH, (), "width"),
        ("whatever Edda says", (), "own"),
        ("", ("6 grafts: drop at 4 or fewer", "27 grafts: give up at 22 or fewer"), "stages"),
        ("", ("first ten", "then more"), None),
    ],
)
def test_a_rule_is_known_by_its_words(rule, stages, kind):
    assert rule_kind(rule, stages) == kind


def test_the_rules_that_plans_write_are_all_known():
    # Every kind of plan writes a rule; each must be read back as that kind.
    from takestats.wording.planning import rule_words

    kinds = {"tell_apart": "apart", "no_worse": "no worse", "above_floor": "floor",
             "estimate": "width"}  # fmt: skip
    for kind, read in kinds.items():
        assert rule_kind(rule_words(kind, 0.9, 0.05, 0.95, 2, within=False)) == read
    stages = tuple(plan_settings(two_stage(0.7, 0.9))["trial"]["stages"])
    assert rule_kind("", stages) == "stages"


def test_no_rule_no_answer():
    assert "planned_question" not in _report().tables


def test_apart_is_answered_from_the_difference_of_the_page():
    report = _report(rule=APART, question="Is side veneer better?")
    model = fit_take(small_records(SETTINGS), ["method"], season="2026")
    gap = differences(model, "method", pairs=[("side veneer", "cleft")]).table.iloc[0]
    row = report.tables["planned_question"].iloc[0]
    assert row["low"] == pytest.approx(gap["low"])
    assert row["verdict"] == ("yes" if gap["low"] > 0 else "not decided")
    assert _first(report) == (
        "Is side veneer better? Not decided, by the rule set beforehand: side veneer minus cleft "
        "is 7 points (95 % confidence interval -11 to 18 points; 8 trays against 8, 240 grafts "
        "against 240; settled count of 16 June 2026). That interval holds 0, which does not "
        "show that the two are equal."
    )


@pytest.mark.parametrize(("margin", "verdict"), [(2, "not decided"), (30, "yes")])
def test_no_worse_is_answered_by_the_margin(margin, verdict):
    report = _report(rule=NO_WORSE, margin_points=margin)
    row = report.tables["planned_question"].iloc[0]
    assert row["verdict"] == verdict
    assert row["limit"] == pytest.approx(-margin / 100)
    assert (row["low"] > -margin / 100) == (verdict == "yes")


@pytest.mark.parametrize(("floor", "verdict"), [(0.5, "yes"), (0.85, "not decided"), (0.99, "no")])
def test_a_floor_is_answered_by_the_lower_limit(floor, verdict):
    report = _report(rule=FLOOR, floor=floor)
    row = report.tables["planned_question"].iloc[0]
    model = fit_take(small_records(SETTINGS), ["method"], season="2026")
    take = take_rates(model, "method").table.set_index("method").loc["side veneer"]
    assert row["low"] == pytest.approx(take["low"])
    assert row["verdict"] == verdict


def test_stages_are_answered_by_the_counts():
    stages = ["60 grafts: drop at 40 or fewer", "400 grafts: give up at 300 or fewer"]
    report = _report(stages=stages)
    # 8 trays of side veneer: 211 of 248 grafts made took; 300 can still be reached.
    assert "211 of 248 grafts took: go on to 400 grafts in all." in _first(report)


def test_a_first_count_does_not_decide():
    given = {"standard": "cleft", "new": "side veneer", "rule": APART}
    settings = {**SETTINGS, "trial": given, "records": {"count": "first"}}
    report = season_report(small_records(settings, count="first"))
    assert "Not decided yet: only a first count is recorded" in " ".join(report.sentences)


def test_what_has_no_tray_is_said_to_have_none():
    report = _report(rule=APART, new="saddle")
    assert "no counted tray of saddle stands in this season's records" in _first(report)


def test_without_a_lot_nothing_is_said_to_cause():
    report = _report(rule=APART, randomised="no")
    assert "seen together, not shown to cause" in _first(report)


def test_a_rule_of_ones_own_is_quoted():
    assert '"whatever Edda says"' in _first(_report(rule="whatever Edda says."))
