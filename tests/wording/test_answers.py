"""Sentences of rates, differences and odds: what they claim, and what they do not."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.wording import answers as words


def gap(difference: float, low: float, high: float) -> dict[str, object]:
    return {
        "level_a": "side veneer", "level_b": "cleft", "difference": difference, "low": low,
        "high": high, "trays_a": 4, "trays_b": 1, "grafts_a": 1200.0, "grafts_b": 25.0,
    }  # fmt: skip


@given(st.floats(-0.9, 0.9), st.floats(0.001, 0.5), st.floats(0.001, 0.5))
def test_better_is_said_exactly_when_the_interval_excludes_zero(
    difference: float, below: float, above: float
) -> None:
    low, high = difference - below, difference + above
    said = words.difference_sentence(gap(difference, low, high), [], 0.95)
    excludes = low > 0 or high < 0
    assert ("took better than" in said) == excludes
    if excludes:
        better = "Side veneer" if difference > 0 else "Cleft"
        assert f"{better} took better than" in said
    else:
        assert "cannot tell them apart" in said or "no difference was shown, nor ruled out" in said


def test_a_difference_in_full() -> None:
    assert words.difference_sentence(gap(0.05, -0.02, 0.11), [], 0.95) == (
        "side veneer minus cleft: 5 points (95 % confidence interval -2 to 11); 4 trays against "
        "1, 1,200 grafts against 25. The interval holds 0: no difference was shown, nor ruled out."
    )
    wide = words.difference_sentence(gap(0.45, 0.2, 0.7), [], 0.95)
    assert "by how much is not known to within 50 points" in wide
    inside = words.difference_sentence(
        gap(0.05, -0.02, 0.11) | {"scion_wood": "sub_terminal"}, ["scion_wood"], 0.95
    )
    assert inside.startswith("sub-terminal: side veneer minus cleft")


def test_a_rate_has_its_interval_trays_and_grafts() -> None:
    row = {"method": "cleft", "take_rate": 0.999, "low": 0.93, "high": 1.0, "trays": 1}
    said = words.rate_sentences([row | {"grafts": 40.0}], ["method"], 0.95)
    assert said == ("cleft: 99.9 % (95 % confidence interval 93 to 100) from 1 tray, 40 grafts.",)
    alone = words.rate_sentences([row | {"grafts": 40.0}], [], 0.9)[0]
    assert alone.startswith("All grafts: 99.9 % (90 % confidence interval")


@pytest.mark.parametrize("kind", ["averaged", "same_tray"])
def test_odds_name_their_kind_and_their_bounds(kind: str) -> None:
    row = {
        "level_a": "cleft",
        "level_b": "splice",
        "odds_ratio": 2.0,
        "low": 0.0,
        "high": math.inf,
    }
    said = words.odds_sentences([row], [], kind, 0.9)[0]
    assert ("averaged over trays" in said) == (kind == "averaged")
    assert ("in the same tray" in said) == (kind == "same_tray")
    assert "(90 % confidence interval no lower bound to no upper bound)" in said
    assert ("conditional" in words.odds_notes(kind, 0.9, [])[0]) == (kind == "same_tray")


def test_notes_say_what_was_averaged_held_and_lacking() -> None:
    notes = words.rate_notes(
        ["scion_wood", "grafter"], "trays", 0.9, ["cleft, sub_terminal"],
        {"healing": "poly tent"}, {"donor": ["D1", "D2"]},
    )  # fmt: skip
    assert notes == (
        "Take as a proportion; posterior median with 90 % confidence interval.",
        "Averaged over scion wood and grafter, at the mix of trays in these records.",
        "Held at: healing poly tent.",
        "Averaged over these lines only: donor D1 and D2.",
        "Not estimable here, and not averaged over: no trays of cleft, sub-terminal.",
    )


def test_notes_of_differences_say_how_tail_areas_were_adjusted() -> None:
    holm = words.difference_notes([], "grafts", 0.95, [], "holm", 3, None, None)
    assert holm[-1] == "Tail areas adjusted over 3 pairs (Holm); the limits are not adjusted."
    none = words.difference_notes([], "grafts", 0.95, [], "none", 3, None, None)
    assert none[-1].startswith("Tail areas not adjusted for the number of pairs")


def test_the_rule_of_three() -> None:
    # Upper 95 % limit of a share of which none was seen in n: about 3 / n (Hanley &
    # Lippman-Hand 1983, J Am Med Assoc 249:1743, from memory); 1 - .05^(1/60) = .0487.
    assert abs(3 / 60 - (1 - 0.05 ** (1 / 60))) < 0.002
    assert words.rule_of_three(60).endswith("up to 3 in 60 trays could and not have shown.")
