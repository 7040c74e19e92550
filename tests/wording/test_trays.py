"""Trays worth a look, seasons gone by, what moved together: read aloud."""

from __future__ import annotations

from takestats.wording import trays as words

ROW = {"tray_id": "T07", "taken": 8.0, "tried": 40.0, "expected_rate": 0.92}


def test_odd_trays() -> None:
    assert words.odd_trays_sentences([ROW], 13, 0.01, True) == (
        "Look at tray T07: 8 of 40 took, 92 % expected of its group.",
    )
    assert words.odd_trays_sentences([], 13, 0.01, True) == (
        "Trays to look at: none of 13 lies far from its group.",
    )
    assert words.odd_trays_sentences([], 0, 0.01, False) == ("Trays to look at: not recorded.",)


def test_the_note_says_how_many_would_be_listed_by_chance() -> None:
    # Both sides: 2 x .01 x 150 = 3.
    assert "among 150 trays about 3.0 would be listed by chance" in words.odd_trays_note(150, 0.01)


def test_history_says_raw_and_its_level() -> None:
    row = {
        "season": "2024-25", "scion_wood": "sub_terminal", "taken": 119.0, "tried": 145.0,
        "trays": 4, "raw_rate": 119 / 145, "raw_low": 0.69, "raw_high": 0.9,
    }  # fmt: skip
    assert words.history_sentences([row], ["scion_wood"], 0.9) == (
        "Season 2024-25, sub-terminal: 82 % (90 % confidence interval 69 to 90), raw, "
        "119 of 145 in 4 trays.",
    )
    assert words.history_sentences([row], [], 0.95)[0].startswith("Season 2024-25: 82 %")


def test_what_moved_together_claims_no_cause() -> None:
    said = words.confounding_sentence("method", "cleft", "grafter", "AB", 4)
    assert said == (
        "Every tray of cleft (method) has grafter AB (4 trays): these records cannot tell "
        "method from grafter there."
    )
    assert "because" not in said
    assert words.confounding_summary([]).startswith("No level of one column")
    assert words.confounding_summary([("method", "graft_date"), ("method", "grafter")]) == (
        "Moving together, wholly or in part: method with graft date and method with grafter."
    )
