"""Sentences of plans: shares of trials, ranges, what is too sure, what is dear."""

from __future__ import annotations

import pytest

from takestats.wording import plan_refusals, planning


@pytest.mark.parametrize(
    ("share", "told"),
    [
        (0.0, "0 of 100"),
        (0.0004, "under 0.1 of 100"),
        (0.0249, "2.5 of 100"),
        (0.7999, "79 of 100"),
        (0.80, "80 of 100"),
        (0.9999, "over 99 of 100"),
        (1.0, "100 of 100"),
    ],
)
def test_a_share_of_trials_is_never_rounded_up_to_what_was_asked(share: float, told: str) -> None:
    assert planning.of_hundred(share) == told


def test_false_findings_are_told_as_one_number_or_a_range() -> None:
    one = planning.false_positive_sentence("tell_apart", [0.05, 0.0501])
    assert one == (
        "If the two were equal, such a trial would still call them different in 5.0 of 100."
    )
    assert planning.false_positive_sentence("above_floor", [0.01, 0.03]).endswith(
        "1.0 to 3.0 of 100."
    )
    assert planning.false_positive_sentence("estimate", [float("nan")]) == ""


def test_only_clearly_too_many_false_findings_are_complained_of() -> None:
    assert planning.too_sure_sentence("tell_apart", [0.06], 0.95) == ""
    assert "5.0 of 100" in planning.too_sure_sentence("tell_apart", [0.08], 0.95)
    assert "2.5 of 100" in planning.too_sure_sentence("no_worse", [0.05], 0.95)


def test_a_capped_plan_tells_its_range_of_power() -> None:
    said = planning.range_sentence([(0.02, 3, 0.07, False), (0.2, 3, 0.12, False)], True)
    assert said == "Over intra-tray correlations of 0.02 to 0.2 that is 7.0 of 100 to 12 of 100."
    assert planning.range_sentence([(0.02, 3, 0.8, True)], False) == ""


@pytest.mark.parametrize(
    ("number", "told"),
    [
        (80.0, "did you mean 80 %? Then write 0.8"),
        (float("nan"), "write a proportion, as 0.95"),
        (400.0, "write a proportion, as 0.95"),
    ],
)
def test_percent_is_asked_about(number: float, told: str) -> None:
    assert plan_refusals.percent_question(number) == told
