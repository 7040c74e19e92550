"""How groups and seasons are read aloud."""

from __future__ import annotations

from takestats.wording import groups as words

ROW = {
    "combination": "A on B",
    "take_rate": 0.91,
    "low": 0.84,
    "high": 0.97,
    "shrunk_by": 0.62,
    "unshrunk_take": 0.94,
    "unshrunk_low": 0.78,
    "unshrunk_high": 1.0,
    "trays": 3,
    "grafts": 120.0,
}
EXPECTED = {
    "combination": "A on B",
    "expected_take": 0.93,
    "low": 0.866,
    "high": 0.971,
    "seasons": 3,
    "trays": 12,
    "grafts": 480.0,
}


def test_a_shrunk_take_has_its_own_trays_beside_it() -> None:
    assert words.group_sentences([ROW], "combination", 0.95) == (
        "A on B: 91 % (95 % confidence interval 84 to 97), drawn 62 % of the way to the mean of "
        "all; from its own trays alone 94 % (95 % confidence interval 78 to 100); 3 trays, "
        "120 grafts.",
    )
    assert words.new_group_sentence("combination", ROW, 0.95) == (
        "A new combination of this kind, not yet tried: 91 % (95 % confidence interval 84 to 97)."
    )


def test_a_new_season_is_told_from_the_side_that_was_asked_for() -> None:
    said = {
        side: words.expected_sentences([EXPECTED], ["combination"], "season", side, 0.9)[0]
        for side in ("lower", "upper", "both")
    }
    assert said["lower"] == (
        "A on B: in a new season expect 93 %; 87 % or more with 90 % probability; from 3 seasons, "
        "12 trays and 480 grafts."
    )
    assert "; 97 % or less with 90 % probability; " in said["upper"]
    assert "; between 87 and 97 % with 90 % probability; " in said["both"]


def test_nothing_told_apart_is_all_grafts() -> None:
    row = EXPECTED | {"seasons": 0}
    assert words.expected_sentences([row], [], "tray", "lower", 0.9)[0] == (
        "All grafts: in a new tray expect 93 %; 87 % or more with 90 % probability; from 12 trays "
        "and 480 grafts."
    )


def test_what_the_spread_between_seasons_rests_on() -> None:
    none = words.season_spread_note(0, 1, pooled=False, scale=0.5, spread=None)
    one = words.season_spread_note(1, 1, pooled=False, scale=0.5, spread=None)
    two = words.season_spread_note(2, 1, pooled=False, scale=0.5, spread=None)
    pooled = words.season_spread_note(3, 6, pooled=True, scale=1.0, spread=(0.4, 0.1, 0.9))
    assert none.startswith("Season not recorded: all trays count as one season")
    assert one.endswith("that assumption alone widens the limits.")
    assert two.endswith("with so few the assumption weighs heavily.")
    assert pooled == (
        "Spread between seasons pooled over 6 with two seasons or more, each with a mean of its "
        "own: standard deviation 0.40 in log odds (95 % limits 0.10 to 0.90), assumed beforehand "
        "to be half-normal with scale 1 in log odds. A bad year that hits all of them is still "
        "only one of 3 seasons, and the limits do not know it."
    )


def test_a_new_combination_resembles_those_on_record() -> None:
    assert words.new_combination_note("same genus", 3, ["combination"]) == (
        "A new combination of relation same genus: taken to resemble the 3 on record of relation "
        "same genus, which were chosen and not drawn by lot; with fewer than 5 the spread between "
        "them rests on an assumed spread."
    )
    assert "of relation" not in words.new_combination_note("any", 8, ["combination"])


def test_the_layers_of_a_grouping_are_said() -> None:
    notes = words.grouped_notes("donor", 8, [0.6, 0.4], trays_recorded=True)
    assert notes[0] == (
        "Trays nested in donor, on an exact grid, averaged over tray models with weak priors "
        "(weights: beta-binomial 60 %, logit-normal 40 %)."
    )
    assert not any("assumed spread" in note for note in notes)
    without = words.grouped_notes("donor", 3, [1.0], trays_recorded=False)
    assert without[0].startswith("No trays recorded")
    assert any("assumed spread" in note for note in without)


def test_what_unshrunk_takes_are_not_adjusted_for_is_said() -> None:
    assert words.unshrunk_notes([], ["2025-26"]) == ()
    assert words.unshrunk_notes(["method", "scion_wood"], ["2024-25", "2025-26"]) == (
        "Unshrunk takes are those of each level's own trays, at its own mix of method and scion "
        "wood; the shrunk ones are at the mix of all.",
        "Unshrunk takes count the trays of 2 seasons together.",
    )
