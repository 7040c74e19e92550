"""How many trays to show that a take lies above a floor."""

from __future__ import annotations

import pytest

import takestats as ts


def test_a_lower_floor_needs_fewer_trays() -> None:
    near, far = (ts.trays_to_exceed_floor(f, 0.92, 20, icc=(0.05, 0.15)) for f in (0.8, 0.6))
    assert far.trays < near.trays
    assert near.question.one_arm
    assert (near.table["take_a"] == 0.92).all()
    assert near.table["false_positive"].max() < 0.04
    assert "show that a take of 92 % lies above 80 % in 8" in near.in_words()
    assert near.rule.startswith(
        "Above the floor if the lower limit of the 95 % confidence interval of the take lies above "
        "80 %; below it if the upper limit does; else undecided."
    )


@pytest.mark.parametrize(
    ("floor", "take", "told"),
    [
        (
            0.9,
            0.8,
            "floor, take: floor 90 %, take 80 %\n"
            "  Rule: a trial can only show what is so: the take that is hoped for lies above the "
            "floor\n"
            "  Next: ask for a floor below 80 %, as 0.7",
        ),
        (
            0.0,
            0.8,
            "floor: 0.0\n"
            "  Rule: no trial can show a take of exactly 0 or 1, or a take beyond it\n"
            "  Next: take the nearest take that would be worth knowing, as 0.95",
        ),
    ],
)
def test_floors_that_cannot_be_asked(floor: float, take: float, told: str) -> None:
    with pytest.raises(ts.TakeError) as caught:
        ts.trays_to_exceed_floor(floor, take, 20)
    assert str(caught.value) == told


def test_out_of_reach_the_nearest_floor_can_be_shown() -> None:
    with pytest.raises(ts.DesignError) as caught:
        ts.trays_to_exceed_floor(0.88, 0.9, 20, icc=0.1, most_trays=10)
    step = caught.value.next_step
    assert step.startswith("up to a correlation of 0.1, 10 trays can show a floor of ")
    floor = float(step.split(" %")[0].rsplit(" ", 1)[1]) / 100.0
    assert ts.trays_to_exceed_floor(floor, 0.9, 20, icc=0.1, most_trays=10).trays <= 10


def test_few_very_uneven_trays_are_said_to_be_too_sure() -> None:
    plan = ts.trays_to_exceed_floor(0.9, 0.995, 30, icc=0.6)
    assert plan.false_positive_rate > 0.05
    assert "That is more than the 2.5 of 100 that the level promises" in plan.in_words()
