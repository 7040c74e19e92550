"""How many trays to show that something new is no worse."""

from __future__ import annotations

import pytest

import takestats as ts


def test_a_narrow_margin_needs_more_trays() -> None:
    wide, narrow = (ts.trays_to_show_no_worse(0.9, 0.9, m, 24, icc=0.08) for m in (0.15, 0.10))
    assert wide.trays < narrow.trays
    assert narrow.grafts == 2 * 24 * narrow.trays
    assert narrow.false_positive_rate < 0.04
    assert "less than 10 points below a standard of 90 % in 8" in narrow.in_words()
    assert narrow.rule.startswith(
        "No worse if the lower limit of the 95 % confidence interval of new minus standard lies "
        "above -10 points; worse if its upper limit lies below; else undecided."
    )


def test_a_better_new_one_needs_fewer() -> None:
    equal = ts.trays_to_show_no_worse(0.8, 0.8, 0.1, 24, icc=0.08)
    better = ts.trays_to_show_no_worse(0.8, 0.9, 0.1, 24, icc=0.08)
    assert better.trays < 0.6 * equal.trays


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (
            (0.9, 0.7, 0.1),
            "new, margin: 70 % against a standard of 90 %, with a margin of 10 points\n"
            "  Rule: a trial can only show what is so: no worse means less than the margin below "
            "the standard\n"
            "  Next: ask with a margin above 20 points, as 0.25",
        ),
        (
            (0.05, 0.05, 0.1),
            "standard, margin: a margin of 10 points below a standard of 5 %\n"
            "  Rule: no worse by less than the whole standard: the margin is smaller than its "
            "take\n"
            "  Next: ask with a smaller margin, or trays_to_exceed_floor with the lowest take "
            "worth having",
        ),
    ],
)
def test_what_cannot_be_asked(asked: tuple[float, float, float], told: str) -> None:
    with pytest.raises(ts.TakeError) as caught:
        ts.trays_to_show_no_worse(*asked, 24)
    assert str(caught.value) == told


def test_out_of_reach_the_nearest_margin_can_be_shown() -> None:
    with pytest.raises(ts.DesignError) as caught:
        ts.trays_to_show_no_worse(0.9, 0.9, 0.02, 24, icc=0.1, most_trays=15)
    step = caught.value.next_step
    assert step.startswith("up to a correlation of 0.1, 15 trays of each can show a margin of ")
    margin = float(step.split(" points")[0].rsplit(" ", 1)[1]) / 100.0
    plan = ts.trays_to_show_no_worse(0.9, 0.9, margin, 24, icc=0.1, most_trays=15)
    assert plan.trays <= 15
