"""Understocks by class and seedlings, worked again by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.order.past_seasons import past_seasons
from takestats.order.understock_order import understock_order
from takestats.order.understocks import class_shares, whole_parts
from takestats.records.read import records_from_frame
from takestats.records.settings import read_trial
from tests.order.small_orders import MOTH, TRIAL, frame, order, past

STOCK = "Hamamelis virginiana"


def test_classes_are_those_of_the_newest_season_that_records_them() -> None:
    rows = frame()
    newest = rows["season"] == rows["season"].max()
    rows["caliper_class"] = rows["caliper_class"].where(~newest)
    made = records_from_frame(rows, trial=TRIAL)
    before = sorted(rows["season"].unique())[-2]
    own = rows[rows["season"] == before]
    thin = own.loc[own["caliper_class"] == "thin", "grafted"].sum() / own["grafted"].sum()
    shares, season, behind = class_shares(past_seasons(made).lines, STOCK, made.trial)
    assert season == before
    assert shares == pytest.approx({"thin": thin, "stout": 1.0 - thin})
    assert behind == own["grafted"].sum()


def test_a_caliper_in_mm_has_its_class() -> None:
    rows = frame().drop(columns="caliper_class").assign(understock_caliper_mm=7.0)
    rows.loc[rows.index % 4 == 0, "understock_caliper_mm"] = 9.0
    made = records_from_frame(rows, trial=TRIAL)
    shares, _, _ = class_shares(past_seasons(made).lines, STOCK, made.trial)
    assert shares == pytest.approx({"thin": 0.75, "stout": 0.25})


def test_every_understock_has_a_class_and_the_rule_gives_its_union() -> None:
    table = order().understocks.set_index("caliper_class")
    assert table["understocks"].sum() == order().table["grafts"].sum()
    assert table.loc["thin", "union"] == "low"
    assert table.loc["stout", "union"] == "high"


def test_seedlings_by_hand() -> None:
    # grafts / (usable share x (1 - yearly loss) to the power of the years), rounded up.
    for row in order().table.to_dict("records"):
        assert row["seedlings"] == math.ceil(row["grafts"] / (0.8 * 0.9**2) - 1e-9)
    assert order().seedlings["seedlings"].sum() == order().table["seedlings"].sum()


def test_what_is_not_recorded_is_not_invented() -> None:
    bare = understock_order(past(), settings=read_trial({"targets": {MOTH: 50}}))
    assert bare.table["seedlings"].isna().all()
    assert bare.seedlings["usable_share"].isna().all()
    assert "usable share is not recorded" in bare.in_words()
    assert (bare.understocks["union"] == "").all()
    no_class = understock_order({MOTH: (0.5, 0.6, 0.7)}, {MOTH: 50})
    assert no_class.understocks["caliper_class"].tolist() == [""]
    assert no_class.understocks["understocks"].tolist() == no_class.table["grafts"].tolist()


def test_nothing_usable_is_no_number_of_seedlings() -> None:
    found = understock_order({MOTH: (0.5, 0.6, 0.7)}, {MOTH: 50}, settings={"usable_share": 0})
    assert math.isinf(found.table["seedlings"].iloc[0])
    assert "no seedling is left" in found.in_words()


@given(st.integers(0, 5000), st.lists(st.floats(0.01, 1.0), min_size=1, max_size=6))
def test_parts_add_up_and_are_next_to_their_share(total: int, weights: list[float]) -> None:
    shares = [weight / sum(weights) for weight in weights]
    parts = whole_parts(total, shares)
    assert sum(parts) == total
    assert all(abs(part - total * s) < 1.0 + 1e-6 for part, s in zip(parts, shares, strict=True))
