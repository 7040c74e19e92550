"""How many trays to know a take."""

from __future__ import annotations

import pytest

import takestats as ts


def test_more_precision_needs_more_trays() -> None:
    wide, narrow = (ts.trays_to_estimate(0.9, m, 24, icc=(0.05, 0.1)) for m in (0.10, 0.06))
    assert wide.trays < narrow.trays
    assert narrow.grafts == 24 * narrow.trays
    table = narrow.table
    assert (table["take_a"] == 0.9).all()
    assert table["take_b"].isna().all()
    # Half of the median width lies under the margin: most trials are narrow enough.
    assert (table["width"] < 2 * 0.06).all()
    assert table["false_positive"].isna().all()
    said = narrow.in_words()
    assert "know a take of about 90 % to within 6 points either way in 8" in said
    assert "reaches no further than 6 points either way" in narrow.rule


@pytest.mark.parametrize(
    ("margin", "told"),
    [
        (
            0,
            "margin: 0\n"
            "  Rule: no trial, however large, can show that two takes are exactly equal, or know "
            "one exactly\n"
            "  Next: say how many points would matter on the bench, as margin=0.05, or ask "
            "trays_to_tell_apart",
        ),
        (
            5,
            "margin: 5\n"
            "  Rule: a margin is a difference of proportions between 0 and 1\n"
            "  Next: did you mean 5 points? Then write 0.05",
        ),
        (
            -0.05,
            "margin: -0.05\n"
            "  Rule: a margin is a difference of proportions between 0 and 1\n"
            "  Next: write a proportion, as 0.05 for 5 points",
        ),
    ],
)
def test_margins_that_cannot_be_asked(margin: float, told: str) -> None:
    with pytest.raises(ts.CountsError) as caught:
        ts.trays_to_estimate(0.9, margin, 24)
    assert str(caught.value) == told


def test_a_basis_without_a_formula_is_refused() -> None:
    with pytest.raises(ts.CountsError) as caught:
        ts.trays_to_estimate(0.9, 0.05, 1, icc=0, basis="arcsine")
    assert caught.value.next_step == "ask with basis='normal', or leave basis at tray_model"


def test_out_of_reach_it_says_how_near_it_can_come() -> None:
    with pytest.raises(ts.DesignError) as caught:
        ts.trays_to_estimate(0.9, 0.01, 24, icc=0.1, most_trays=12)
    step = caught.value.next_step
    assert step.startswith("up to a correlation of 0.1, 12 trays can know it to within ")
    margin = float(step.split(" points")[0].rsplit(" ", 1)[1]) / 100.0
    assert ts.trays_to_estimate(0.9, margin, 24, icc=0.1, most_trays=12).trays <= 12
