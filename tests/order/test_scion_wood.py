"""Pieces and sticks: terminal wood first, and what the second wood costs."""

from __future__ import annotations

import math

import pytest

from takestats.answers.gaps import differences
from takestats.models.fit import fit_take
from takestats.order.scion_wood import wood_difference
from takestats.order.understock_order import understock_order
from takestats.records.read import records_from_frame
from tests.answers.grouped_trials import SCIONS
from tests.order.small_orders import LAMP, MOTH, TRIAL, frame, past, records, wooded


def test_terminal_first_then_sub_terminal_then_short() -> None:
    table = wooded().wood.set_index("combination")
    grafts = wooded().table.set_index("combination")["grafts"]
    moth, lamp = table.loc[MOTH], table.loc[LAMP]
    assert moth["pieces"] == grafts[MOTH]
    assert (moth["terminal"], moth["sub_terminal"]) == (150, 40)
    assert moth["short"] == grafts[MOTH] - 190
    assert (lamp["terminal"], lamp["sub_terminal"], lamp["short"]) == (grafts[LAMP], 0, 0)
    assert moth["sticks"] == math.ceil(grafts[MOTH] / 4)


def test_what_sub_terminal_wood_costs_in_take_is_the_difference_of_the_records() -> None:
    found = wooded().wood_difference
    assert found is not None
    model = fit_take(records(), ["scion_wood", "combination"], grouping=None)
    row = differences(model, "scion_wood", pairs=[("sub_terminal", "terminal")]).table.iloc[0]
    assert (found.difference, found.low, found.high) == pytest.approx(
        (row["difference"], row["low"], row["high"])
    )
    moth = wooded().wood.set_index("combination").loc[MOTH]
    assert moth["fewer_plants"] == pytest.approx(-40 * found.difference)
    assert moth["fewer_low"] == pytest.approx(-40 * found.high)
    assert moth["fewer_low"] <= moth["fewer_plants"] <= moth["fewer_high"]
    assert "seen together, not shown to cause" in wooded().in_words()


def test_training_is_money_of_steps_for_sub_terminal_wood_only() -> None:
    take = wooded().table.set_index("combination").loc[MOTH, "expected_take"]
    # 2 minutes at 18 an hour and 0.30, for each of 40 pieces that takes.
    expected = 40 * take * (2 / 60 * 18 + 0.30)
    assert wooded().wood.set_index("combination").loc[MOTH, "training"] == pytest.approx(expected)
    assert wooded().wood.set_index("combination").loc[LAMP, "training"] == 0.0


def test_one_scion_on_two_understocks_shares_its_wood() -> None:
    rows = frame(combinations=1)
    rows["understock"] = ["Hamamelis virginiana", "Hamamelis vernalis"] * 6
    other = f"{SCIONS[0].replace(' x ', ' × ')} on Hamamelis vernalis"
    trial = {"work": {"terminal_pieces": 150}, "targets": {MOTH: 60, other: 60}}
    wood = understock_order(records_from_frame(rows, trial=trial)).wood
    assert wood["pieces"].iloc[0] < 150 < wood["pieces"].sum()
    assert wood["terminal"].sum() == 150
    assert wood["terminal"].iloc[0] == wood["pieces"].iloc[0]
    assert (wood["terminal"] + wood["sub_terminal"]).tolist() == wood["pieces"].tolist()


def test_what_is_not_recorded_is_said() -> None:
    bare = understock_order(past(), settings={"targets": {MOTH: 50}})
    assert bare.wood[["sticks", "terminal", "sub_terminal", "training"]].isna().all(axis=None)
    assert bare.wood_difference is None
    assert "pieces a stick and terminal pieces to be had not recorded" in bare.in_words()


def test_pieces_a_graft() -> None:
    trial = TRIAL | {"work": {"pieces_a_graft": 2, "pieces_a_stick": 3}}
    found = understock_order(past(), settings=trial)
    assert found.wood["pieces"].tolist() == (2 * found.table["grafts"]).tolist()


def test_no_season_with_both_woods_is_no_difference() -> None:
    one = records_from_frame(frame(combinations=1).assign(scion_wood="terminal"), trial=TRIAL)
    assert wood_difference(one, None) is None
    none = records_from_frame(frame(combinations=1).drop(columns="scion_wood"), trial=TRIAL)
    assert wood_difference(none, None) is None
