"""How many trays to tell two takes apart: the plan, its words, its refusals."""

from __future__ import annotations

import numpy as np
import pytest

import takestats as ts
from takestats.planning.tray_plan import TrayPlan

COLUMNS = [
    "icc",
    "take_a",
    "take_b",
    "trays",
    "grafts",
    "power",
    "width",
    "assurance",
    "false_positive",
    "reached",
]


@pytest.fixture(scope="module")
def plan() -> TrayPlan:
    return ts.trays_to_tell_apart(0.70, 0.95, 20)


def test_the_plan_is_its_worst_row(plan: TrayPlan) -> None:
    table = plan.table
    assert table.columns.tolist() == COLUMNS
    assert table["icc"].tolist() == [0.02, 0.05, 0.10, 0.20]
    assert table["trays"].is_monotonic_increasing
    worst = table.iloc[-1]
    assert (plan.trays, plan.grafts, plan.power) == (
        worst["trays"],
        worst["grafts"],
        worst["power"],
    )
    assert plan.grafts == 2 * plan.trays * 20
    assert table["power"].between(0.8, 0.95).all()
    assert table["width"].between(0.1, 0.5).all()
    assert table["assurance"].isna().all()
    assert table["false_positive"].max() == plan.false_positive_rate <= 0.085
    assert plan.reached
    assert plan.can_tell is None
    assert plan.set_aside == plan.grafts + 40
    assert any(note.startswith(f"Set aside {plan.set_aside} understocks") for note in plan.notes)


def test_it_says_itself(plan: TrayPlan) -> None:
    said = plan.in_words()
    assert said.startswith(f"Plan {plan.trays} trays of 20 grafts for each of 2 methods, ")
    assert "tell 70 % from 95 % in 8" in said
    for trays, icc in zip(plan.table["trays"], ("0.02", "0.05", "0.1", "0.2"), strict=True):
        assert f"{trays} trays at {icc}" in said
    assert "trays buy power, more grafts in a tray soon stop doing so" in said
    assert "If the two were equal, such a trial would still call them different in " in said
    assert said.endswith(plan.rule)
    assert plan.rule == (
        "The two differ if the 95 % confidence interval of the difference lies wholly on one side "
        "of 0; else the trial has not told them apart, which does not show that they are equal. "
        "Trays are drawn by lot. The settled count decides, counted once."
    )
    assert any(note.startswith("Judged with the interval") for note in plan.notes)
    assert any("assumed, over a range, not measured" in note for note in plan.notes)
    assert any("more uneven" in note for note in plan.notes)
    assert not any(part in " ".join((said, *plan.notes)) for part in ("[T.", "C(", " ~ ", "signif"))


def test_a_chart_can_draw_it(plan: TrayPlan) -> None:
    curve = plan.by_trays
    assert set(curve["icc"]) == {0.02, 0.05, 0.10, 0.20}
    assert {2, plan.trays} <= set(curve["trays"])
    worst = curve[curve["icc"] == 0.20]
    assert worst["width"].is_monotonic_decreasing
    assert worst["power"].iloc[-1] > 0.8 > worst["power"].iloc[0]
    sizes = plan.by_tray_size
    mine = sizes[sizes["trays"] == plan.trays]["power"].to_list()
    # Four times the grafts in a tray bring less than twice the trays.
    half = sizes[(sizes["trays"] == plan.trays // 2) & (sizes["tray_size"] == 80)]["power"].item()
    assert half < mine[2]


def test_same_question_same_digits() -> None:
    one, again = (ts.trays_to_tell_apart(0.6, 0.95, 10, icc=0.1, seed=4) for _ in range(2))
    assert one.table.equals(again.table)
    assert one.sentences == again.sentences


def test_a_large_step_needs_no_more_than_the_fewest_trays() -> None:
    # Rooted under 10 % against grafted over 95 %: common practice, no source.
    plan = ts.trays_to_tell_apart(0.09, 0.96, 20)
    assert plan.trays == 2
    assert "2 trays of each are the fewest that show how trays differ at all" in plan.in_words()


def test_a_small_step_near_the_top_needs_very_many() -> None:
    # 90 against 95 %: common practice, no source.
    plan = ts.trays_to_tell_apart(0.90, 0.95, 24, icc=0.10)
    assert plan.grafts > 2_000
    assert "That is very many" in plan.in_words()


def test_few_grafts_say_what_they_can_and_cannot_tell() -> None:
    plan = ts.trays_to_tell_apart(0.80, 0.90, 10, at_most_grafts=60, icc=0.05)
    assert (plan.trays, plan.grafts, plan.reached) == (3, 60, False)
    assert plan.power < 0.3
    said = plan.in_words()
    assert said.startswith("With 3 trays of 10 grafts for each of 2 methods, 60 grafts in all you")
    assert "80 of 100 were asked for" in said
    assert plan.can_tell is not None
    other = ts.trays_to_tell_apart(0.80, plan.can_tell, 10, at_most_grafts=60, icc=0.05)
    assert other.power > 0.77


def test_both_methods_in_each_tray_need_fewer_grafts() -> None:
    paired = ts.trays_to_tell_apart(0.75, 0.95, 20, icc=0.15, within_trays=True)
    apart = ts.trays_to_tell_apart(0.75, 0.95, 20, icc=0.15)
    assert paired.grafts == paired.trays * 20 < 0.6 * apart.grafts
    assert any("Whole trays of one method would need" in note for note in paired.notes)
    assert "drawn by lot within it" in paired.rule


def test_correlations_may_be_any_sequence_and_each_is_looked_at_once() -> None:
    plan = ts.trays_to_tell_apart(0.6, 0.95, 12, icc=np.array([0.0, 0.1, 0.1]))
    assert plan.table["icc"].tolist() == [0.0, 0.1]


def test_several_methods_need_more_trays() -> None:
    two = ts.trays_to_tell_apart(0.6, 0.95, 12, icc=0.1)
    four = ts.trays_to_tell_apart(0.6, 0.95, 12, icc=0.1, arms=4)
    assert four.trays >= two.trays
    assert four.grafts == 4 * four.trays * 12
    assert "Each of 3 methods is held against one standard" in four.rule


REFUSED = [
    (
        (95, 0.9, 20),
        {},
        "take_a: 95\n"
        "  Rule: a take is a proportion between 0 and 1\n"
        "  Next: did you mean 95 %? Then write 0.95",
    ),
    (
        (0.9, -0.1, 20),
        {},
        "take_b: -0.1\n"
        "  Rule: a take is a proportion between 0 and 1\n"
        "  Next: write a proportion, as 0.95",
    ),
    (
        (0.9, 0.9, 20),
        {},
        "take_a, take_b: both 0.9\n"
        "  Rule: equal takes cannot be told apart\n"
        "  Next: ask trays_to_show_no_worse with the margin that matters, or give the take that "
        "would be worth changing for",
    ),
    (
        (0.9, 0.95, 0),
        {},
        "tray_size: 0\n"
        "  Rule: a tray holds a whole number of grafts, at least one\n"
        "  Next: give the grafts in one tray, as tray_size=24",
    ),
    (
        (0.9, 0.95, 20),
        {"power": 0.04},
        "power: 0.04\n"
        "  Rule: a power of 5 % or less is what chance alone finds where there is nothing to find\n"
        "  Next: ask for a power of 0.8 or 0.9, or for a lower level",
    ),
    (
        (0.9, 0.95, 20),
        {"power": 80},
        "power: 80\n"
        "  Rule: power is a proportion between 0 and 1\n"
        "  Next: did you mean 80 %? Then write 0.8",
    ),
    (
        (0.8, 0.9, 40),
        {"at_most_grafts": 60},
        "at_most_grafts: 60 grafts\n"
        "  Rule: two trays of each take 160 grafts, and one tray of each cannot show how trays "
        "differ\n"
        "  Next: give smaller trays (tray_size), or at least 160 grafts, or ask two_stage about "
        "single grafts",
    ),
    (
        (0.8, 0.9, 20),
        {"icc": 0.9},
        "icc: 0.9\n"
        "  Rule: an intra-tray correlation is a number from 0 (trays alike) to 0.6\n"
        "  Next: leave it out for a range of 0.02 to 0.20, or give past records as past=",
    ),
    (
        (0.8, 0.9, 20),
        {"arms": 1},
        "arms: 1\n"
        "  Rule: two methods or more are compared\n"
        "  Next: give arms=2, or ask about one take",
    ),
    (
        (0.8, 0.9, 20),
        {"basis": "exact"},
        "basis: 'exact' with tray_size 20\n"
        "  Rule: exact counts know no trays\n"
        "  Next: give tray_size=1 and icc=0 for single grafts, or leave basis at tray_model",
    ),
    (
        (0.8, 0.9, 20),
        {"arms": 3, "within_trays": True},
        "within_trays: 3 arms, 20 grafts in a tray, basis tray_model\n"
        "  Rule: both methods in each tray: two methods, two grafts a tray or more, tray model\n"
        "  Next: plan whole trays (within_trays=False)",
    ),
    (
        (0.8, 0.9, 20),
        {"past": "last year"},
        "past: str\n"
        "  Rule: past is what read_records or fit_take gives\n"
        "  Next: read the past season's file with read_records first",
    ),
    (
        (0.8, 0.9, 20),
        {"most_trays": 1},
        "most_trays: 1\n"
        "  Rule: one tray cannot show how trays differ: at least 2\n"
        "  Next: leave it at 500, or give what the bench can hold",
    ),
]


@pytest.mark.parametrize(("asked", "more", "told"), REFUSED)
def test_what_cannot_be_asked(asked: tuple[float, ...], more: dict[str, object], told: str) -> None:
    with pytest.raises(ts.TakeError) as caught:
        ts.trays_to_tell_apart(*asked, **more)
    assert str(caught.value) == told


def test_out_of_reach_the_nearest_question_can_be_answered() -> None:
    with pytest.raises(ts.DesignError) as caught:
        ts.trays_to_tell_apart(0.89, 0.90, 20, most_trays=20, icc=(0.05, 0.10))
    error = caught.value
    assert error.where == "most_trays"
    assert "to tell 89 % from 90 % with 20 trays of each" in error.what
    start = "up to a correlation of 0.1, 20 trays of each can tell 89 % from "
    assert error.next_step.startswith(start)
    take = float(error.next_step.removeprefix(start).split(" %")[0]) / 100.0
    plan = ts.trays_to_tell_apart(0.89, take, 20, most_trays=20, icc=(0.05, 0.10))
    assert plan.trays <= 20
