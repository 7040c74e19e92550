"""Prediction limits of a new season and a new tray."""

from __future__ import annotations

import pandas as pd
import pytest

from takestats.answers.expected_take import expected_take
from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.fit import fit_take
from takestats.records.read import records_from_frame
from tests.answers.grouped_trials import seasons_frame, seasons_records

RECORDS = seasons_records()


def test_every_combination_has_a_row_with_what_is_behind_it() -> None:
    table = expected_take(RECORDS, "combination").table
    assert table.columns.tolist() == [
        "combination",
        "expected_take",
        "low",
        "high",
        "seasons",
        "trays",
        "grafts",
        "raw_rate",
        "pooled",
        "spread_between_seasons",
        "spread_low",
        "spread_high",
    ]
    assert len(table) == 5
    assert table["seasons"].tolist() == [3] * 5
    assert table["trays"].tolist() == [12] * 5
    assert table["pooled"].all()
    assert (table["low"] < table["expected_take"]).all()
    assert (table["high"] == 1.0).all()
    assert (table["spread_low"] < table["spread_between_seasons"]).all()


def test_an_order_by_the_limit_is_larger_than_one_by_the_raw_rate() -> None:
    table = expected_take(RECORDS, "combination").table
    assert (table["low"] < table["raw_rate"]).all()


@pytest.mark.parametrize("new", ["season", "tray"])
def test_two_sides_leave_the_same_share_outside(new: str) -> None:
    both = expected_take(RECORDS, "combination", new=new, level=0.8, side="both").table  # type: ignore[arg-type]
    lower = expected_take(RECORDS, "combination", new=new, side="lower").table  # type: ignore[arg-type]
    upper = expected_take(RECORDS, "combination", new=new, side="upper").table  # type: ignore[arg-type]
    assert both["low"].tolist() == pytest.approx(lower["low"].tolist(), abs=1e-9)
    assert both["high"].tolist() == pytest.approx(upper["high"].tolist(), abs=1e-9)
    assert (upper["low"] == 0.0).all()


def test_a_model_gives_its_count_and_all_its_seasons() -> None:
    model = fit_take(RECORDS, ["combination"], season="newest")
    found = expected_take(model, "combination")
    pd.testing.assert_frame_equal(found.table, expected_take(RECORDS, "combination").table)


def test_season_among_the_columns_asked_for_is_the_layer_itself() -> None:
    found = expected_take(RECORDS, ["combination", "season"])
    assert found.by == ("combination",)


def test_all_grafts_together_have_one_row() -> None:
    found = expected_take(RECORDS, [])
    assert len(found.table) == 1
    assert not found.table["pooled"].iloc[0]
    assert found.sentences[0].startswith("All grafts: in a new season expect ")


def test_three_combinations_stand_by_themselves() -> None:
    found = expected_take(seasons_records(combinations=3), "combination")
    assert not found.table["pooled"].any()
    assert any("each level's own seasons" in note for note in found.notes)


def test_one_season_says_that_the_spread_is_assumed() -> None:
    found = expected_take(seasons_records(seasons=1), "combination")
    assert any(note.startswith("One season cannot show") for note in found.notes)
    assert not found.table["pooled"].any()


def test_seasons_of_one_tray_cannot_tell_trays_from_seasons() -> None:
    lone = expected_take(seasons_records(trays=1), "combination")
    assert any(note.startswith("One tray in every season") for note in lone.notes)
    assert (lone.table["low"] < lone.table["expected_take"]).all()
    found = expected_take(RECORDS, "combination")
    assert not any(note.startswith("One tray in every season") for note in found.notes)


def test_pooled_years_are_still_only_so_many() -> None:
    found = expected_take(RECORDS, "combination")
    assert any("still only one of 3 seasons" in note for note in found.notes)


def test_a_season_that_was_not_recorded_is_one_season() -> None:
    frame = seasons_frame(seasons=1).drop(columns=["season", "count_date"])
    found = expected_take(records_from_frame(frame), "combination")
    assert found.table["seasons"].tolist() == [0] * 5
    assert any(note.startswith("Season not recorded") for note in found.notes)
    assert "season," not in found.sentences[0]


def test_lines_of_an_unknown_season_are_left_out_among_known_ones() -> None:
    frame = seasons_frame().drop(columns="count_date")
    frame.loc[frame.index[:2], "season"] = ""
    found = expected_take(records_from_frame(frame), "combination")
    assert found.table["trays"].tolist() == [10, 12, 12, 12, 12]
    assert "Left out: 2 lines whose season is not recorded." in found.notes


def test_a_combination_not_yet_tried_is_given_only_when_asked_for() -> None:
    assert expected_take(RECORDS, "combination").new_combination.empty
    found = expected_take(RECORDS, "combination", relation="any")
    new = found.new_combination
    assert new["combinations"].tolist() == [5]
    assert new["low"].iloc[0] < new["expected_take"].iloc[0]
    assert found.sentences[-1].startswith("A combination not yet tried: in a new season expect ")
    same = expected_take(RECORDS, "combination", relation="same genus")
    assert set(same.table["combination"]) < set(found.table["combination"])
    assert "(same genus)" in same.sentences[-1]


def test_a_new_tray_of_an_untried_combination_is_less_certain() -> None:
    season = expected_take(RECORDS, "combination", relation="any").new_combination
    tray = expected_take(RECORDS, "combination", relation="any", new="tray").new_combination
    assert tray["low"].iloc[0] < season["low"].iloc[0]


def test_the_same_records_give_the_same_digits() -> None:
    first = expected_take(RECORDS, "combination", relation="any")
    second = expected_take(seasons_records(), "combination", relation="any")
    pd.testing.assert_frame_equal(first.table, second.table, check_exact=True)
    pd.testing.assert_frame_equal(first.new_combination, second.new_combination, check_exact=True)
    assert first.in_words() == second.in_words()


def test_what_cannot_be_asked_is_refused() -> None:
    with pytest.raises(CountsError, match="new: 'year'"):
        expected_take(RECORDS, "combination", new="year")  # type: ignore[arg-type]
    with pytest.raises(CountsError, match="side: 'left'"):
        expected_take(RECORDS, "combination", side="left")  # type: ignore[arg-type]
    with pytest.raises(CountsError):
        expected_take(RECORDS, "combination", level=90)
    with pytest.raises(UnknownColumnError):
        expected_take(RECORDS, "combinations")
    with pytest.raises(UnknownLevelError, match="same kind"):
        expected_take(RECORDS, "combination", relation="same kind")
    with pytest.raises(DesignError, match="not yet tried"):
        expected_take(seasons_records(combinations=1), "combination", relation="any")


def test_a_relation_needs_scion_and_understock() -> None:
    frame = seasons_frame().drop(columns=["understock"])
    with pytest.raises(UnknownColumnError, match="no combination has one"):
        expected_take(records_from_frame(frame), "scion", relation="any")
