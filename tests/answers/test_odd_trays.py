"""Trays worth a look: a planted one is found, ordinary ones are not."""

from __future__ import annotations

import numpy as np
import pytest

from takestats.answers.odd_trays import odd_trays
from takestats.models.fit import fit_take
from tests.models.small_trials import bench, records_of

GOOD = [(37, 40), (38, 40), (36, 40), (39, 40), (37, 40), (38, 40)]
WORSE = [(30, 40), (28, 40), (31, 40), (29, 40), (30, 40), (32, 40)]
COLUMNS = ["taken", "tried", "raw_rate", "expected_rate", "chance", "side"]


def test_a_planted_bad_tray_is_found() -> None:
    frame = bench({"splice": [*GOOD, (8, 40)], "cleft": WORSE})
    result = odd_trays(fit_take(records_of(frame), ["method"]))
    assert result.table.columns.tolist() == ["tray_id", "season", "method", *COLUMNS]
    assert result.table["tray_id"].tolist() == ["T07"]
    row = result.table.iloc[0]
    assert (row["taken"], row["tried"], row["side"]) == (8, 40, "low")
    assert row["raw_rate"] == pytest.approx(0.2)
    assert row["expected_rate"] > 0.85
    assert row["chance"] < 0.01
    assert result.looked_at == 13
    assert "Look at tray T07: 8 of 40 took" in result.in_words()


def test_a_planted_good_tray_is_found_on_the_other_side() -> None:
    frame = bench({"splice": [(k, 40) for k in (8, 9, 7, 10, 8, 9, 9, 39)]})
    table = odd_trays(fit_take(records_of(frame), [])).table
    assert table["tray_id"].tolist() == ["T08"]
    assert table["side"].tolist() == ["high"]


def test_ordinary_trays_are_not_listed_and_it_is_said() -> None:
    frame = bench({"splice": GOOD, "cleft": WORSE})
    result = odd_trays(fit_take(records_of(frame), ["method"]))
    assert result.table.empty
    assert result.in_words() == "Trays to look at: none of 12 lies far from its group."


def test_a_tray_is_judged_within_its_own_level() -> None:
    # 30 of 40 is usual for cleft; among splice trays it would not be.
    frame = bench({"splice": GOOD, "cleft": [*WORSE, (30, 40)]})
    assert odd_trays(fit_take(records_of(frame), ["method"])).table.empty


def test_rarer_lists_fewer() -> None:
    rng = np.random.default_rng(4)
    counts = rng.binomial(30, rng.beta(8, 2, 60))
    model = fit_take(records_of(bench({"splice": [(int(k), 30) for k in counts]})), [])
    lists = [set(odd_trays(model, rare=rare).table["tray_id"]) for rare in (0.002, 0.02, 0.1)]
    assert lists[0] <= lists[1] < lists[2]
    # Twice the share asked for is listed by chance (both sides): 12 of 60 at .1; 4 SDs around it.
    assert 1 <= len(lists[2]) <= 24


def test_the_oddest_stands_first() -> None:
    frame = bench({"splice": [*GOOD * 3, (20, 40), (4, 40)]})
    table = odd_trays(fit_take(records_of(frame), []), rare=0.05).table
    assert table["chance"].is_monotonic_increasing
    assert table["tray_id"].iloc[0] == "T20"


def test_without_trays_it_is_not_recorded() -> None:
    frame = bench({"splice": [*GOOD, (8, 40)]}).drop(columns="tray")
    result = odd_trays(fit_take(records_of(frame, records={"trays": "none"}), []))
    assert result.table.empty
    assert result.in_words() == "Trays to look at: not recorded."


def test_trays_of_every_size_have_a_chance() -> None:
    frame = bench({"splice": [(1, 1), (0, 1), (4000, 5000), (5000, 5000), (17, 20), (0, 20)]})
    table = odd_trays(fit_take(records_of(frame), []), rare=0.5).table
    assert table["chance"].between(0, 0.5).all()
