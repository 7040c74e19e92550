"""Hours and money of an order, worked again by hand."""

from __future__ import annotations

import math

import pytest

from takestats.order.understock_order import understock_order
from tests.order.small_orders import MOTH, TRIAL, order, past, records

TYPED = "Betula nigra on Betula pendula"
COSTS = {"currency": "EUR", "hour": 20, "understock": 2.0, "tie": "3 min, 0.10",
         "head back": "6 min, per taken", "grow on": "1.00, per saleable"}  # fmt: skip


def test_by_hand_with_typed_takes() -> None:
    found = understock_order(
        {TYPED: (0.5, 0.6, 0.8)}, {TYPED: 90}, cull=0.1, settings={"costs": COSTS}
    )
    row = found.costs.iloc[0]
    grafts = 200
    for end, take in (("_low", 0.5), ("", 0.6), ("_high", 0.8)):
        taken, sold = grafts * take, grafts * take * 0.9
        assert row[f"hours{end}"] == pytest.approx((grafts * 3 + taken * 6) / 60)
        assert row[f"material{end}"] == pytest.approx(grafts * 2.10 + sold * 1.00)
        assert row[f"cost{end}"] == pytest.approx(row[f"material{end}"] + 20 * row[f"hours{end}"])
    # The poor season costs less in all, and more for each plant.
    assert row["cost_per_plant_high"] == pytest.approx(row["cost_low"] / 90)
    assert row["cost_per_plant_low"] == pytest.approx(row["cost_high"] / 144)
    assert row["cost_per_plant"] == pytest.approx(row["cost"] / 108)


def test_all_is_the_sum() -> None:
    table = order().costs.set_index("combination")
    parts = table.drop(index="all")
    for name in ("grafts", "hours", "labour", "material", "cost", "cost_low", "cost_high"):
        assert table.loc["all", name] == pytest.approx(parts[name].sum())
    assert table.loc["all", "cost_per_plant_low"] < table.loc["all", "cost_per_plant"]


def test_a_step_of_one_wood_is_weighed_by_the_newest_season() -> None:
    every = TRIAL | {"costs": {"hour": 18, "stake": "2 min, per taken"}}
    limited = TRIAL | {"costs": {"hour": 18, "stake": "2 min, per taken, only sub-terminal"}}
    full, part = (
        understock_order(past(), {MOTH: 100}, settings=trial).costs for trial in (every, limited)
    )
    trays = records().trays
    own = trays[(trays["combination"] == MOTH) & (trays["season"] == trays["season"].max())]
    share = own.loc[own["scion_wood"] == "sub_terminal", "taken"].sum() / own["taken"].sum()
    assert part["hours"].iloc[0] == pytest.approx(full["hours"].iloc[0] * share)


def test_no_costs_no_table_and_it_is_said() -> None:
    found = understock_order({TYPED: (0.5, 0.6, 0.8)}, {TYPED: 90})
    assert found.costs.empty
    assert "Costs not recorded." in found.sentences


def test_an_hour_without_a_price_is_not_money() -> None:
    found = understock_order(
        {TYPED: (0.5, 0.6, 0.8)}, {TYPED: 90}, settings={"costs": {"understock": 2, "tie": "3 min"}}
    )
    assert math.isnan(found.costs["cost"].iloc[0])
    assert "an hour has no price" in found.in_words()


def test_steps_that_cannot_be_weighed_are_named() -> None:
    costs = {"understock": 2, "stake": "1.00, only sub-terminal", "grow on": "1.00, per saleable"}
    found = understock_order({TYPED: (0.5, 0.6, 0.8)}, {TYPED: 90}, settings={"costs": costs})
    assert any("stake" in note for note in found.notes)
    assert any("saleable plants are left out" in note for note in found.notes)
