"""Two stages: the rule holds what it says; Simon's tables are held by tests/reference."""

from __future__ import annotations

import numpy as np
import pytest

import takestats as ts
from takestats.planning.question import Question
from takestats.planning.simulated import simulated_counts
from takestats.planning.two_stage import TwoStage

TRIALS = 20_000


def kept(rule: TwoStage, take: float) -> tuple[float, float, float]:
    """Share kept, share dropped early, mean grafts, of simulated trays."""
    size = rule.tray_size or 1
    asked = Question(kind="above_floor", take_a=0.5, take_b=take, tray_size=size)
    (counts,) = simulated_counts(asked, rule.total // size, (rule.icc,), TRIALS, (31,))
    first = counts[:, : rule.first // size].sum(axis=1)
    early = first <= rule.drop_at_or_below
    good = ~early & (counts.sum(axis=1) > rule.fail_at_or_below)
    grafts = np.where(early, rule.first, rule.total)
    return float(good.mean()), float(early.mean()), float(grafts.mean())


@pytest.mark.parametrize(("icc", "size"), [(0.0, None), (0.05, 12), (0.15, 20)])
def test_its_chances_are_those_of_simulated_trays(icc: float, size: int | None) -> None:
    rule = ts.two_stage(0.7, 0.9, icc=icc, tray_size=size)
    share, early, grafts = kept(rule, 0.7)
    assert share == pytest.approx(rule.size, abs=0.006)
    assert early == pytest.approx(rule.stops_early, abs=0.012)
    assert grafts == pytest.approx(rule.expected_grafts, rel=0.02)
    assert kept(rule, 0.9)[0] == pytest.approx(rule.power, abs=0.012)
    assert rule.size <= 0.05
    assert rule.power >= 0.8


def test_stages_are_whole_trays_and_cost_more_when_trays_differ() -> None:
    alike = ts.two_stage(0.7, 0.9)
    trays = ts.two_stage(0.7, 0.9, icc=0.15, tray_size=20)
    assert (trays.first % 20, trays.total % 20) == (0, 0)
    assert (trays.first_trays, alike.first_trays) == (trays.first // 20, None)
    assert trays.expected_grafts > alike.expected_grafts
    # The rule for single grafts is too sure of itself in such trays.
    naive = TwoStage(
        **{
            **{k: getattr(alike, k) for k in ("floor", "promising", "size", "power")},
            "_table": alike.table,
            "notes": (),
            "sentences": (),
            "first": 20,
            "total": 40,
            "drop_at_or_below": 14,
            "fail_at_or_below": 32,
            "stops_early": 0.0,
            "expected_grafts": 0.0,
            "icc": 0.15,
            "tray_size": 20,
        }
    )
    assert kept(naive, 0.7)[0] > 0.08


def test_the_table_has_both_truths_and_the_words_the_rule() -> None:
    rule = ts.two_stage(0.7, 0.9)
    low, high = rule.table.to_dict("records")
    assert (low["take"], high["take"]) == (0.7, 0.9)
    assert low["kept"] == rule.size
    assert high["kept"] == rule.power
    assert low["expected_grafts"] == rule.expected_grafts < high["expected_grafts"]
    assert rule.in_words() == (
        "First make 6 grafts: if 4 or fewer take, drop the combination. Else make 21 grafts more: "
        "if 22 or fewer of all 27 take, give it up; if more take, keep it. If its take is really "
        "70 %, 57 of 100 such trials stop after the first stage, 15 grafts are to be expected, and "
        "4.9 of 100 keep it by mistake. If its take is really 90 %, 80 of 100 keep it."
    )
    assert any("too sure of itself" in note for note in rule.notes)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (
            {"floor": 0.9, "promising": 0.8},
            "floor, promising: floor 90 %, promising take 80 %\n"
            "  Rule: a trial can only show what is so: the take that is hoped for lies above the "
            "floor\n"
            "  Next: ask for a floor below 80 %, as 0.7",
        ),
        (
            {"floor": 0.85, "promising": 0.9},
            "floor, promising: 85 % against 90 %\n"
            "  Rule: rules of up to 260 grafts are looked at, and none of them keeps both chances\n"
            "  Next: ask about a floor of 0.84 against 0.9, or plan one stage with "
            "trays_to_exceed_floor",
        ),
        (
            {"floor": 0.7, "promising": 0.9, "icc": 0.1},
            "icc, tray_size: icc 0.1 without a tray size\n"
            "  Rule: trays that differ hold a number of grafts\n"
            "  Next: give tray_size too, or icc=0 for single grafts",
        ),
        (
            {"floor": 70, "promising": 0.9},
            "floor: 70\n"
            "  Rule: a take is a proportion between 0 and 1\n"
            "  Next: did you mean 70 %? Then write 0.7",
        ),
        (
            {"floor": 0.7, "promising": 0.9, "objective": "quickest"},
            "objective: 'quickest'\n"
            "  Rule: objective is least_expected or least_total\n"
            "  Next: choose one of these",
        ),
    ],
)
def test_what_cannot_be_asked(asked: dict[str, object], told: str) -> None:
    with pytest.raises(ts.TakeError) as caught:
        ts.two_stage(**asked)
    assert str(caught.value) == told


@pytest.mark.calibration
def test_the_nearest_rule_that_is_offered_exists() -> None:
    assert ts.two_stage(0.84, 0.9, objective="least_total").total <= 260
