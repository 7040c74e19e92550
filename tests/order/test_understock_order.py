"""An order from records: what is in it, what it says, and what it must not say."""

from __future__ import annotations

import json
import os
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.answers.expected_take import expected_take
from takestats.models.fit import fit_take
from takestats.order.order_result import COLUMNS
from takestats.order.plants_to_come import PlantsToCome
from takestats.order.understock_order import understock_order
from takestats.records.read import records_from_frame
from tests.answers.grouped_trials import SCIONS
from tests.order.small_orders import LAMP, MOTH, TRIAL, WOOD, frame, order, past, records

WORDS = Path(__file__).parent / "words.txt"
ICE = "Hamamelis japonica 'Thin Ice' on Hamamelis virginiana"
NEW = "Hamamelis mollis 'Not Yet' on Hamamelis virginiana"
TYPED = "Betula nigra on Betula pendula"


def test_every_combination_has_a_row() -> None:
    table = order().table
    assert tuple(table.columns) == COLUMNS
    assert table["combination"].tolist() == [MOTH, LAMP]
    assert table["wanted"].tolist() == [200, 150]
    assert (table["plants"] == "saleable").all()
    assert (table["rests_on"] == "records").all()
    assert (table["past_seasons"] == 3).all()
    assert (table["chance_met"] >= 0.9).all()
    assert (table["trays"] == np.ceil(table["grafts"] / 30)).all()
    assert (table["low_plants"] >= table["wanted"]).all()
    assert (table["low_plants"] < table["expected_plants"]).all()
    assert (table["expected_plants"] < table["high_plants"]).all()


def test_the_take_is_the_prediction_limit_of_a_new_season() -> None:
    table = order().table.set_index("combination")
    found = expected_take(records(), "combination").table.set_index("combination")
    for name in (MOTH, LAMP):
        assert table.loc[name, "take_low"] == pytest.approx(found.loc[name, "low"], abs=1e-9)
        assert table.loc[name, "expected_take"] == pytest.approx(
            found.loc[name, "expected_take"], abs=1e-9
        )


def test_more_than_the_limit_and_far_more_than_the_past_average_would_order() -> None:
    table = order().table.set_index("combination")
    for name in (MOTH, LAMP):
        row = table.loc[name]
        grafts = PlantsToCome.of(past().sold[name].nodes, None, 30)
        assert row["grafts"] == grafts.fewest_grafts(int(row["wanted"]), 0.9)
        assert row["grafts"] > row["wanted"] / (row["take_low"] * row["kept"])
        assert row["grafts"] > row["wanted"] / (row["expected_take"] * row["kept"])


def test_five_combinations_share_what_they_say_of_seasons() -> None:
    found = order(combinations=5)
    assert found.table["pooled"].all()
    assert not order().table["pooled"].any()
    assert sum("pooled over" in note for note in found.notes) == 2  # of takes, and of culls


def test_without_saleable_plants_those_that_take_are_ordered_and_it_is_said_first() -> None:
    found = understock_order(past(combinations=5), {ICE: 100})
    row = found.table.iloc[0]
    assert row["plants"] == "taken"
    assert np.isnan(row["kept"])
    assert "not recorded" in found.sentences[0]
    typed = understock_order(past(combinations=5), {ICE: 100}, cull={ICE: 0.1})
    assert typed.table["plants"].tolist() == ["saleable"]
    assert bool(typed.table["kept_typed"].iloc[0])
    assert typed.table["grafts"].iloc[0] > row["grafts"]


def test_a_typed_cull_does_not_stand_against_recorded_plants() -> None:
    found = understock_order(past(), cull=0.5).table
    assert found["grafts"].tolist() == order().table["grafts"].tolist()


def test_a_combination_without_a_past_rests_on_those_like_it() -> None:
    found = understock_order(past(), {NEW: 100})
    row = found.table.iloc[0]
    assert row["rests_on"] == "others like it"
    assert "no past of its own" in found.in_words()
    assert row["grafts"] > 100
    known = understock_order(past(), {MOTH: 100}).table.iloc[0]
    # What is not known of it makes the order larger than that of a like one on record.
    assert row["expected_take"] - row["take_low"] > known["expected_take"] - known["take_low"]


def test_a_scion_alone_means_its_one_combination_and_short_names_are_read() -> None:
    by_scion = understock_order(past(), {SCIONS[0]: 200}).table
    assert by_scion["combination"].tolist() == [MOTH]
    assert by_scion["grafts"].iloc[0] == order().table["grafts"].iloc[0]
    assert understock_order(past(), {"moth": 200}).table["combination"].tolist() == [MOTH]


def test_typed_takes_stand_before_the_records() -> None:
    found = understock_order(past(), takes={"moth on virginiana": (0.5, 0.6, 0.7)})
    assert found.table["rests_on"].tolist() == ["typed takes", "records"]
    assert "assumed" in found.sentences[0]
    assert found.table["plants"].iloc[0] == "taken"


def test_typed_takes_of_the_settings() -> None:
    trial = TRIAL | {"targets": {TYPED: {"plants": 100, "poor": 0.4, "usual": 0.6, "good": "80%"}}}
    row = understock_order(past(), settings=trial).table.iloc[0]
    assert (row["rests_on"], row["grafts"]) == ("typed takes", 250)


def test_a_model_gives_the_order_of_its_records_and_its_window_of_dates() -> None:
    model = fit_take(records(), ["scion_wood"], grouping=None)
    found = understock_order(model)
    pd.testing.assert_frame_equal(found.table, order().table)
    assert found.window.empty


def test_one_season_says_what_was_assumed() -> None:
    found = order(seasons=1)
    assert any("One season" in note or "one season" in note for note in found.notes)
    assert (found.table["past_seasons"] == 1).all()
    # One season leaves more room for the next than three do.
    assert (found.table["grafts"] > order().table["grafts"]).all()


def test_no_trays_is_said() -> None:
    trial = TRIAL | {"records": {"trays": "none"}}
    bare = records_from_frame(frame().drop(columns="tray"), trial=trial)
    found = understock_order(bare)
    assert any("too small" in note for note in found.notes)
    assert found.table["trays"].isna().all()
    assert (found.table["grafts"] >= found.table["wanted"]).all()


def test_the_same_question_gives_the_same_digits() -> None:
    again = understock_order(records())
    pd.testing.assert_frame_equal(again.table, order().table, check_exact=True)
    assert again.in_words() == order().in_words()


def test_tables_are_copies() -> None:
    for name in ("table", "understocks", "seedlings", "wood", "days", "costs", "surplus"):
        table = getattr(order(), name)
        table.insert(0, "more", 1)

        assert "more" not in getattr(order(), name)


def test_its_record_is_json_and_nothing_is_rounded() -> None:
    record = json.loads(json.dumps(order().as_record(), allow_nan=False))
    assert record["shape"] == "takestats understock order 1"
    table = order().table
    assert [row["grafts"] for row in record["table"]] == table["grafts"].tolist()
    assert [row["take_low"] for row in record["table"]] == table["take_low"].tolist()


def test_invented_records_say_so_first() -> None:
    trial = TRIAL | {"invented": True, "seed": 6, "truth": "the test"}
    found = understock_order(records_from_frame(frame(combinations=2), trial=trial))
    assert found.banner.startswith("INVENTED DATA")
    assert found.notes[0] == found.banner


def told() -> str:
    """Everything an order may say, for a person to proof-read."""
    typed = "100, poor 40%, usual 60%, good 80%"
    trial = WOOD | {"targets": TRIAL["targets"] | {ICE: 40, NEW: 50, TYPED: typed}}
    full = understock_order(past(combinations=5), settings=trial)
    bare = understock_order({TYPED: (0.4, 0.6, 0.8)}, {TYPED: 100}, cull=0.1)
    changed = full.changed_since(order(seasons=1))
    parts = []
    for name, result in (("full", full), ("bare", bare), ("changed", changed)):
        parts += [f"== {name}", *result.sentences, "-- notes", *result.notes, ""]
    return "\n".join(parts)


def test_every_sentence_is_pinned_where_a_person_can_proof_read_it() -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    if os.environ.get("TAKESTATS_PIN"):
        WORDS.write_text(told(), encoding="utf-8")
    assert told() == WORDS.read_text(encoding="utf-8")


def test_the_average_of_the_past_is_never_printed() -> None:
    lines = past().lines
    for name in (MOTH, LAMP):
        own = lines[lines["combination"] == name]
        rate = own["taken"].sum() / own["tried"].sum()
        numbers = order().table.select_dtypes("number").to_numpy().ravel()
        assert not np.isclose(numbers, rate, atol=1e-9).any()


def test_it_is_listed_at_the_root() -> None:
    assert ts.understock_order is understock_order
