"""How a model says what it used, left out, and how it was worked out."""

from __future__ import annotations

import math

from takestats.wording import models as words


def test_seasons() -> None:
    assert words.seasons_note("2025-26", ["2024-25"]).startswith(
        "Season 2025-26 only; season 2024-25 left out"
    )
    assert "seasons 2023-24 and 2024-25 left out" in words.seasons_note(
        "2025-26", ["2023-24", "2024-25"]
    )


def test_lines_left_out_are_counted_by_column_and_as_a_share() -> None:
    reasons = [
        {"column": "scion_wood", "level": "", "lines": 1, "reason": "blank"},
        {"column": "taken", "level": "", "lines": 3, "reason": "not counted yet"},
    ]
    assert words.left_out_note(reasons, 16) == (
        "Left out: 1 line (scion wood: blank) and 3 lines (taken: not counted yet); "
        "20 % of the lines."
    )
    assert words.left_out_note([], 16) == ""


def test_the_count_its_date_and_the_share_it_is_of() -> None:
    assert words.count_note("settled", ("2026-06-15",), "made") == (
        "Take at the settled count (2026-06-15), out of grafts made less those missing."
    )
    said = words.count_note("first", (), "live_understock")
    assert "count date not recorded" in said
    assert "those on dead understock" in said
    assert "2026-06-01 and 2026-06-20" in words.count_note(
        "settled", ("2026-06-01", "2026-06-20"), "made"
    )


def test_trays_behind_it_or_not_recorded() -> None:
    assert words.behind_note(1, 40.0, True) == "1 tray, 40 grafts behind it."
    assert words.behind_note(0, 1.0, False) == "1 graft behind it; trays not recorded."


def test_weights_of_the_parts_add_up() -> None:
    note = words.grid_notes([[0.4, 0.1], [0.3, 0.2]], True)[0]
    assert "beta-binomial 50 %, logit-normal 50 %; one spread for all trays 70 %" in note
    alone = words.grid_notes([[0.6, 0.0], [0.4, 0.0]], True)[0]
    assert "one spread" not in alone
    assert "counted as if independent" in words.grid_notes([[1.0, 0.0]], False)[0]
    parts = [("beta-binomial", False, 0.4), ("beta-binomial", True, 0.1),
             ("logit-normal", False, 0.3), ("logit-normal", True, 0.2)]  # fmt: skip
    assert (
        "beta-binomial 50 %, logit-normal 50 %; one spread for all trays 70 %"
        in words.sampled_notes(parts, True)[0]
    )
    assert "counted as if independent" in words.sampled_notes([], False)[0]


def test_uneven_few_and_single_trays() -> None:
    said = words.uneven_note("cleft", "splice", (0.1, 0.4), (0.0001, 0.05))
    assert said.startswith("cleft trays are more uneven than splice trays")
    assert "0.100 to 0.400 against under 0.001 to 0.050" in said
    assert "8 trays" in words.few_trays_note(8)
    assert "One tray of cleft and splice" in words.one_tray_note(["cleft", "splice"])


def test_a_coefficient_has_its_limits_and_an_interaction_is_not_a_level() -> None:
    said = words.coefficient_sentence(
        "scion wood", "sub_terminal", "terminal", (-0.5, -math.inf, 0.2), joint=False
    )
    assert said == (
        "scion wood: sub-terminal against terminal, log odds -0.50 "
        "(95 % confidence interval no lower bound to 0.20)."
    )
    joint = words.coefficient_sentence(
        "method by scion wood", "splice, sub_terminal", "cleft, terminal", (0.3, -1.0, math.inf),
        joint=True,
    )  # fmt: skip
    assert "from what its parts add up to" in joint
    assert "against" not in joint
    assert "no upper bound" in joint
    assert words.interaction_words(["method", "scion_wood"]) == "method by scion wood"


def test_a_curve_in_words() -> None:
    assert "a straight line" in words.curve_note("understock_caliper_mm", 0)
    assert "smooth curve with 4 knots" in words.curve_note("understock_caliper_mm", 4)
    assert words.few_values_note("union_height_mm").startswith("union height (mm) has fewer")


def test_the_quick_form_is_never_the_headline() -> None:
    notes = words.quick_notes(2.287, 12.0, no_trays=False)
    assert "grafts / 2.287" in notes[0]
    assert "t with 12 degrees" in notes[0]
    assert "never the headline" in notes[1]
