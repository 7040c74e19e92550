"""What became of each combination: held to sums made here by hand."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from takestats.answers.combination_tally import combination_tally
from takestats.records.read import records_from_frame

EMBER, RIVER = "Acer rubrum 'Ember'", "Acer rubrum 'River'"
STOCK = "Acer rubrum"


def _records(targets=None, **changes):
    frame = pd.DataFrame(
        {
            "season": ["2025"] * 2 + ["2026"] * 5,
            "tray": list("PQABCDE"),
            "scion": [EMBER, RIVER, EMBER, EMBER, RIVER, RIVER, RIVER],
            "understock": [STOCK] * 7,
            "grafted": [30, 20, 30, 30, 20, 20, 20],
            "missing": [0, 0, 1, 0, 0, 2, None],
            "understock_dead": [0, 0, 2, 0, 1, 0, None],
            "taken": [20, 15, 25, 28, 12, 15, None],
            "saleable": [None, None, 20, 26, 10, None, None],
            "count_date": ["2025-06-15"] * 2 + ["2026-06-16"] * 4 + [None],
        }
    ).assign(**changes)
    trial = {"targets": targets} if targets else None
    return records_from_frame(frame, trial=trial)


def _by_name(tally):
    return {row["combination"]: row for row in tally.table.to_dict("records")}


def test_sums_of_the_counted_trays():
    rows = _by_name(combination_tally(_records(), "2026"))
    ember, river = rows[f"{EMBER} on {STOCK}"], rows[f"{RIVER} on {STOCK}"]
    assert (ember["trays"], ember["grafted"], ember["taken"], ember["missing"]) == (2, 60, 53, 1)
    assert (river["trays"], river["grafted"], river["taken"]) == (2, 40, 27)
    assert ember["take_of_made"] == pytest.approx(53 / 59)
    assert ember["take_of_live"] == pytest.approx(53 / 57)
    assert ember["made_low"] < 53 / 59 < ember["made_high"]
    assert (river["waiting"], ember["waiting"]) == (20, 0)
    assert (river["saleable"], river["saleable_trays"]) == (10, 1)
    assert (ember["last_season"], ember["last_taken"], ember["last_tried"]) == ("2025", 20, 30)


def test_wanted_less_have_is_short_and_what_was_never_grafted_has_a_row():
    tally = combination_tally(
        _records({f"{EMBER} on {STOCK}": 40, RIVER: 60, "Acer rubrum 'Snow'": 5}), "2026"
    )
    rows = _by_name(tally)
    assert rows[f"{EMBER} on {STOCK}"]["short"] == 0
    river = rows[f"{RIVER} on {STOCK}"]
    assert (river["wanted"], river["have"], river["short"]) == (60, 10, 50)
    snow = rows["Acer rubrum 'Snow'"]
    assert (snow["grafted"], snow["short"]) == (0, 5)
    assert "Acer rubrum 'Snow': 5 wanted, none grafted." in tally.in_words()


def test_without_grading_what_took_is_what_there_is():
    rows = _by_name(combination_tally(_records({RIVER: 60}, saleable=None), "2026"))
    assert rows[f"{RIVER} on {STOCK}"]["have"] == 27
    assert math.isnan(rows[f"{EMBER} on {STOCK}"]["wanted"])


def test_one_season_alone_has_no_history():
    tally = combination_tally(_records(season="2026"), "2026")
    assert tally.last_season == ""
    assert tally.table["last_tried"].isna().all()
    assert "No earlier season is recorded." in tally.notes
