"""What is grafted, wanted, left and due? Numbers worked out by hand beside each case."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.errors import SettingsError
from takestats.records.no_rows import NoRowsError
from takestats.records.read import records_from_frame
from takestats.records.result import Records
from takestats.records.season_so_far import (
    due_table,
    newest_season,
    wanted_of_nothing,
    wanted_table,
)

EMBER = "Hamamelis mollis 'Invented Ember'"
STOCK = "Hamamelis virginiana"
DAY = dt.date(2026, 6, 15)


def records(rows: list[dict[str, Any]], **trial: Any) -> Records:
    plants = {"scion": EMBER, "understock": STOCK, "taken": None}
    frame = pd.DataFrame([{"tray": f"T{i}", **plants, **row} for i, row in enumerate(rows, 1)])
    return records_from_frame(frame, trial=trial)


def only(table: pd.DataFrame) -> dict[str, Any]:
    assert len(table) == 1
    return {str(name): value for name, value in table.iloc[0].to_dict().items()}


def test_wanted_grafted_left_and_short_by_hand() -> None:
    """100 wanted; 30 + 30 grafted; of the first 30 counted 20 took: 100 - 20 - 30 = 50 short."""
    bench = records(
        [{"grafted": 30, "taken": 20}, {"grafted": 30, "taken": None}],
        targets={f"{EMBER} on {STOCK}": 100},
    )
    assert only(wanted_table(bench)) == {
        "combination": f"{EMBER} on {STOCK}",
        "wanted": 100.0,
        "grafted": 60.0,
        "left": 40.0,
        "counted": 30.0,
        "taken": 20.0,
        "short": 50.0,
    }


@pytest.mark.parametrize(
    ("target", "plants"),
    [
        ("ember on virginiana", "100"),
        ("Ember / Virginiana", 100),
        ("ember", "100 plants"),
        (f"{EMBER} on {STOCK}".lower(), 100.0),
        (f"{EMBER} on {STOCK}", {"plants": "1,00"}),
    ],
)
def test_a_target_is_met_by_any_way_to_write_its_combination(target: str, plants: Any) -> None:
    names = {"ember": EMBER, "virginiana": STOCK}
    bench = records([{"grafted": 30, "taken": 20}], names=names, targets={target: plants})
    row = only(wanted_table(bench))
    assert (row["wanted"], row["grafted"], row["left"]) == (100.0, 30.0, 70.0)


def test_two_ways_to_write_one_target_are_added_up() -> None:
    bench = records(
        [{"grafted": 30, "taken": 20}],
        names={"ember": EMBER, "virginiana": STOCK},
        targets={"ember on virginiana": 40, f"{EMBER} on {STOCK}": 60},
    )
    assert only(wanted_table(bench))["wanted"] == 100.0


def test_without_a_target_nothing_is_wanted_and_nothing_left() -> None:
    row = only(wanted_table(records([{"grafted": 30, "taken": 20}])))
    assert row["grafted"] == 30.0
    assert all(row[name] != row[name] for name in ("wanted", "left", "short"))


def test_only_the_newest_season_and_only_grafts_count() -> None:
    bench = records(
        [
            {"grafted": 30, "taken": 20, "season": "2025"},
            {"grafted": 10, "taken": 5, "season": "2026"},
            {"grafted": 50, "taken": 5, "season": "2026", "made_by": "cutting", "understock": None},
        ],
        targets={f"{EMBER} on {STOCK}": 100},
    )
    assert only(wanted_table(bench))["grafted"] == 10.0
    assert newest_season(bench.trays)["season"].unique().tolist() == ["2026"]


@pytest.mark.parametrize("plants", ["many", "-3", "2.5", True, ""])
def test_a_target_that_is_no_number_of_plants_is_told(plants: Any) -> None:
    bench = records([{"grafted": 30, "taken": 20}], targets={"a on b": plants})
    with pytest.raises(SettingsError, match="A target is a whole number of plants wanted"):
        wanted_table(bench)


def test_while_nothing_is_grafted_all_is_left() -> None:
    empty = NoRowsError(where="x", trial=records([{"grafted": 1, "taken": 1}]).trial)
    assert wanted_of_nothing(empty.trial).empty
    trial = records([{"grafted": 1, "taken": 1}], targets={"A on B": 7}).trial
    row = only(wanted_of_nothing(trial))
    assert (row["combination"], row["wanted"], row["grafted"], row["left"]) == ("A on B", 7, 0, 7)


def test_due_by_bud_break_by_grafting_or_not_known() -> None:
    """24 March + 10 weeks = 2 June; 12 February + 20 weeks = 2 July; no date, no day."""
    bench = records(
        [
            {"grafted": 30, "graft_date": "2026-02-12"},
            {"grafted": 30, "graft_date": "2026-02-12", "bud_break_date": "2026-03-24"},
            {"grafted": 30},
            {"grafted": 30, "graft_date": "2026-02-12", "taken": 20, "count_date": "2026-06-10"},
        ],
    )
    table = due_table(bench, DAY)
    assert table["tray_id"].tolist() == ["T2", "T1", "T3"]
    assert table["due_from"].iloc[:2].tolist() == ["2026-06-02", "2026-07-02"]
    assert pd.isna(table["due_from"].iloc[2])
    assert table["is_due"].tolist() == [True, False, False]
    assert table["reckoned_from"].tolist() == ["bud break", "grafting", "not recorded"]


def test_the_settings_say_how_many_weeks_and_which_count() -> None:
    """12 February + 3 weeks = 5 March; with first counts the rule is eight weeks: 9 April."""
    row = {"grafted": 30, "graft_date": "2026-02-12", "bud_break_date": "2026-03-24"}
    own = records([row], records={"count_after_weeks": 3})
    assert only(due_table(own, DAY))["due_from"] == "2026-03-05"
    first = records([row], records={"count": "first"})
    assert only(due_table(first, DAY))["due_from"] == "2026-04-09"
    late = records([row], records={"count": "season end"})
    assert only(due_table(late, DAY))["reckoned_from"] == "not recorded"


def test_a_month_counts_from_its_last_day_and_the_day_itself_is_due() -> None:
    bench = records([{"grafted": 30, "graft_date": "2026-02"}], records={"count_after_weeks": 1})
    assert only(due_table(bench, dt.date(2026, 3, 7)))["due_from"] == "2026-03-07"
    assert only(due_table(bench, dt.date(2026, 3, 7)))["is_due"]
    assert not only(due_table(bench, dt.date(2026, 3, 6)))["is_due"]


def test_a_first_count_is_not_the_settled_one_and_a_later_one_is_enough() -> None:
    rows = [
        {"tray": "A", "grafted": 30, "count": "first", "taken": 25, "count_date": "2026-03-03"},
        {"tray": "B", "grafted": 30, "count": "later", "taken": 25, "count_date": "2026-08-03"},
        {"tray": "C", "grafted": 30, "count": "settled", "taken": 25, "count_date": "2026-06-03"},
    ]
    bench = records_from_frame(pd.DataFrame(rows))
    assert due_table(bench, DAY)["tray_id"].tolist() == ["A"]


def test_a_tray_of_two_treatments_stands_once_and_a_tray_not_grafted_does_not() -> None:
    rows = [
        {"tray": "A", "method": "cleft", "grafted": 10, "taken": None},
        {"tray": "A", "method": "splice", "grafted": 20, "taken": None},
        {"tray": "B", "method": "splice", "grafted": None, "taken": None},
    ]
    table = due_table(records_from_frame(pd.DataFrame(rows)), DAY)
    assert (table["tray_id"].tolist(), table["grafted"].tolist()) == (["A"], [30.0])


@settings(max_examples=20)
@given(
    counts=st.lists(
        st.tuples(st.integers(1, 60), st.integers(0, 60) | st.none()), min_size=1, max_size=8
    ),
    wanted=st.integers(0, 300),
)
def test_laws_of_the_tally(counts: list[tuple[int, int | None]], wanted: int) -> None:
    """Short is never below left; trays due and trays counted are all trays."""
    rows = [{"grafted": g, "taken": None if t is None else min(t, g)} for g, t in counts]
    bench = records(rows, targets={f"{EMBER} on {STOCK}": wanted})
    row = only(wanted_table(bench))
    assert row["grafted"] == sum(g for g, _ in counts)
    assert 0 <= row["left"] <= row["short"] <= wanted
    assert row["taken"] <= row["counted"] <= row["grafted"]
    waiting = due_table(bench, DAY)
    assert len(waiting) == sum(t is None for _, t in counts)
