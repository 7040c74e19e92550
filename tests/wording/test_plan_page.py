"""Sentences of a plan's page: what it cannot show, what to set aside, what comes next."""

from __future__ import annotations

import pytest

from takestats.wording import plan_costs, plan_page


@pytest.mark.parametrize("kind", ["tell_apart", "no_worse", "above_floor", "estimate"])
def test_every_kind_says_what_it_cannot_show(kind: str) -> None:
    said = plan_page.cannot_show(kind, 0.8, 0.9, 0.1, 2)
    assert any("another season" in line for line in said)
    assert any("not a lasting union" in line for line in said)
    assert len(said) >= 4
    assert not any("significan" in line for line in said)


def test_several_new_methods_are_warned_of() -> None:
    assert plan_page.SEVERAL_NEW in plan_page.cannot_show("tell_apart", 0.8, 0.9, 0.0, 3)
    assert plan_page.SEVERAL_NEW not in plan_page.cannot_show("tell_apart", 0.8, 0.9, 0.0, 2)


def test_a_past_of_few_trays_or_one_season_is_thin() -> None:
    assert plan_page.past_line(0.1, 0.02, 0.3, 40, 900, 1).endswith("That is thin.")
    assert plan_page.past_line(0.1, 0.02, 0.3, 12, 300, 3).endswith("That is thin.")
    assert "That is thin" not in plan_page.past_line(0.1, 0.05, 0.2, 40, 900, 2)


def test_no_spare_tray_where_the_scions_do_not_reach() -> None:
    assert "a spare tray (12)" in plan_page.stages_aside(24, 48, 12)
    assert "too few for a spare tray" in plan_page.stages_aside(24, 48, 12, at_most=80)
    assert "a spare tray (12)" in plan_page.stages_aside(24, 48, 12, at_most=84)
    assert plan_page.no_spare_aside(48, 48) == (
        "48 understocks and as many scions for the trial; of 48 there are none left for a spare "
        "tray, so make none of bad wood."
    )


def test_the_next_steps_ask_for_names_only_when_they_lack() -> None:
    assert plan_page.NAMES_OF_PAIR in plan_page.next_steps("tray", False, True)
    assert plan_page.NAME_OF_ONE in plan_page.next_steps("", False, False)
    assert len(plan_page.next_steps("half", True, True)) == 2
    assert "Draw by lot which half of each tray" in plan_page.next_steps("half", True, True)[0]


def test_the_head_of_the_settings_says_invented_first() -> None:
    lines = plan_page.header_lines("INVENTED DATA, seed 5.", "5 trays", "")
    assert lines[0].startswith("INVENTED DATA")
    assert not plan_page.header_lines("", "", "")[0].startswith("INVENTED")


@pytest.mark.parametrize(
    ("kind", "within", "told"),
    [
        ("tell_apart", False, "46 trays of each, 2,760 grafts"),
        ("tell_apart", True, "46 trays, 2,760 grafts"),
        ("estimate", False, "46 trays, 2,760 grafts"),
    ],
)
def test_a_dear_plan_counts_its_own_trays(kind: str, within: bool, told: str) -> None:
    said = plan_costs.very_many_sentence(kind, "do it", 46, 2760, within=within)
    assert told in said
    assert "would ask for fewer" in said
