"""A combination not yet tried: one recommendation, the plans behind it, how thin the past is."""

from __future__ import annotations

import pytest

import takestats as ts
from takestats.planning.new_combination import NewCombinationPlan
from takestats.planning.past_combinations import past_combinations
from takestats.records.plants import plant_name
from tests.planning.past_seasons import past

NEW = ("Hamamelis mollis 'Amber Mill'", "Hamamelis virginiana")
PLANS = {"no worse", "above floor", "two stages"}


@pytest.fixture(scope="module")
def found() -> NewCombinationPlan:
    return ts.plan_new_combination(*NEW, past(), tray_size=24)


def test_it_makes_one_recommendation(found: NewCombinationPlan) -> None:
    assert found.relation == "same genus"
    assert found.recommended in PLANS
    said = found.in_words()
    assert said.startswith(found.recommendation)
    assert said.count("Recommended:") == 1
    assert set(found.table["plan"]) == PLANS


def test_it_says_what_stands_behind_it(found: NewCombinationPlan) -> None:
    said = found.in_words()
    assert "Hamamelis mollis 'Amber Mill' on Hamamelis virginiana: same genus." in said
    assert "the combination with most trays on this understock" in said
    assert "3 combinations, 2 seasons, 36 trays, 864 grafts. That is thin." in said
    assert "(assurance)" in said
    notes = " ".join(found.notes)
    assert notes.startswith("INVENTED DATA")
    assert "Intra-tray correlation from the past" in notes
    assert "A first-year take is not a lasting union" in notes
    assert "licences of the scion" in notes
    assert "plant health authority" in notes


def test_assurance_stands_beside_power_and_is_less(found: NewCombinationPlan) -> None:
    rows = found.table[found.table["plan"] != "two stages"]
    assert (rows["assurance"] < rows["power"]).all()
    assert rows["assurance"].between(0.05, 0.95).all()


def test_the_standards_take_is_that_of_a_season_not_yet_seen(found: NewCombinationPlan) -> None:
    records = past()
    table = ts.expected_take(records, "combination", level=0.9, side="both").table
    seen = past_combinations(records, plant_name(NEW[0]), plant_name(NEW[1]), "same genus").standard
    row = table[table["combination"] == seen.name].iloc[0]
    assert seen.take == row["expected_take"]
    assert (found.table["standard_take"] == seen.take).all()
    assert found.table["floor"].iloc[0] == pytest.approx(seen.take - 0.10)


def test_few_grafts_say_what_they_can_and_cannot_tell() -> None:
    # Short names of the settings are known.
    plan = ts.plan_new_combination("amber", "stock", past(), tray_size=24, at_most_grafts=60)
    assert (plan.scion, plan.understock) == NEW
    assert plan.tray_size == 20
    assert (plan.table["grafts"] <= 60).all()
    said = plan.in_words()
    assert "With 60 grafts cannot be shown as often as asked: " in said
    assert "With 60 grafts can be shown instead: " in said
    assert any(note.startswith("Trays of 20 grafts instead of 24") for note in plan.notes)
    assert plan.recommended == "first look"
    assert plan.fallback is not None
    assert plan.fallback.total <= 60


def test_without_a_past_there_are_ranges_only() -> None:
    plan = ts.plan_new_combination(*NEW, None, tray_size=12, at_most_grafts=48)
    assert plan.past is None
    assert sorted(set(plan.table["standard_take"])) == [0.80, 0.90, 0.95]
    assert sorted(set(plan.table[plan.table["plan"] == "no worse"]["icc"])) == [0.02, 0.20]
    assert "every number is a range" in plan.in_words()
    assert plan.table["assurance"].isna().all()


def test_two_past_combinations_give_no_assurance() -> None:
    plan = ts.plan_new_combination(*NEW, past(("copper", "wren")), tray_size=12, at_most_grafts=48)
    assert plan.table["assurance"].isna().all()
    assert "Fewer than three combinations of this relation" in plan.in_words()


def test_the_settings_may_name_standard_margin_and_floor() -> None:
    copper = "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana"
    records = past(trial={"standard": copper, "margin_points": 15, "floor": 0.5})
    plan = ts.plan_new_combination(*NEW, records, tray_size=12, at_most_grafts=48)
    assert plan.past is not None
    assert (plan.past.standard.name, plan.past.standard.why) == (copper, "settings")
    assert plan.margin == 0.15
    assert (plan.table["floor"] == 0.5).all()


def test_what_was_tried_before_is_told_and_left_out() -> None:
    plan = ts.plan_new_combination(NAMES_LAMP, NEW[1], past(), tray_size=12, at_most_grafts=48)
    assert "It was grafted before: " in plan.in_words()
    assert plan.past is not None
    assert len(plan.past.combinations) == 2


NAMES_LAMP = "Hamamelis japonica 'Lamp'"


@pytest.mark.parametrize(
    ("asked", "more", "told"),
    [
        (
            ("mystery", NEW[1], None),
            {"tray_size": 12},
            "scion: 'mystery'\n"
            "  Rule: a full name (Genus species 'Cultivar'), or a short name of the settings\n"
            "  Next: write the genus and the species, or add the short name to [names]",
        ),
        (
            (*NEW, None),
            {"tray_size": 12, "at_most_grafts": 3},
            "at_most_grafts: 3\n"
            "  Rule: four grafts or more, two trays of two, can be planned\n"
            "  Next: count the scion pieces again",
        ),
        (
            (*NEW, None),
            {"tray_size": 0},
            "tray_size: 0\n"
            "  Rule: a tray holds a whole number of grafts, at least one\n"
            "  Next: give the grafts in one tray, as tray_size=24",
        ),
    ],
)
def test_what_cannot_be_asked(asked: tuple[object, ...], more: dict[str, int], told: str) -> None:
    with pytest.raises(ts.TakeError) as caught:
        ts.plan_new_combination(*asked, **more)
    assert str(caught.value) == told


def test_a_floor_above_the_standard_is_refused() -> None:
    copper = "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana"
    records = past(trial={"standard": copper, "floor": 0.99})
    with pytest.raises(ts.DesignError) as caught:
        ts.plan_new_combination(*NEW, records, tray_size=12)
    assert caught.value.where == "floor, standard"
