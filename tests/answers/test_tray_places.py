"""Places are read where they are plain, and never guessed."""

from __future__ import annotations

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.answers.odd_trays import odd_trays
from takestats.answers.tray_places import Place, TrayPlaces, natural, read_place, tray_places
from takestats.models.fit import fit_take
from takestats.records.read import records_from_frame


def places(**columns: object) -> TrayPlaces:
    trays = 8
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": [f"T{n}" for n in range(3, 3 + trays)],
            "grafted": 40,
            "taken": [37, 38, 36, 39, 38, 37, 38, 8],
            **columns,
        }
    )
    model = fit_take(records_from_frame(frame), [])
    return tray_places(model, odd_trays(model))


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("7", Place("", 7)),
        ("007", Place("", 7)),
        ("A3", Place("A", 3)),
        ("b 12", Place("B", 12)),
        ("C-4", Place("C", 4)),
        ("2-4", None),
        ("2/4", None),
        ("row 2 place 5", None),
        ("A", None),
        ("3A", None),
        ("0", None),
        ("-1", None),
        ("A3 or A4", None),
        ("٣", None),
        ("", None),
    ],
)
def test_what_is_plain_is_read_and_the_rest_is_left(typed: str, read: Place | None) -> None:
    assert read_place(typed) == read


@given(st.text(max_size=6))
def test_whatever_is_written_is_read_or_left(text: str) -> None:
    place = read_place(text)
    assert place is None or (place.number > 0 and len(place.row) <= 1)


def test_trays_stand_bench_by_bench_in_their_order_with_their_counts() -> None:
    found = places(
        bench=["south", "north"] * 4,
        position=["B2", "1", "A10", "2", "A9", "by the door", "B1", "4"],
    ).table
    assert found["bench"].tolist() == ["north"] * 4 + ["south"] * 4
    assert found["tray_id"].tolist() == ["T4", "T6", "T10", "T8", "T7", "T5", "T9", "T3"]
    assert found["row"].tolist() == ["", "", "", "", "A", "A", "B", "B"]
    assert found["place"].fillna(0).tolist() == [1, 2, 4, 0, 9, 10, 1, 2]
    assert found.set_index("tray_id").loc["T10", ["taken", "tried"]].tolist() == [8, 40]


def test_an_odd_tray_is_marked_in_its_place() -> None:
    found = places(bench="south", position=[str(n) for n in range(1, 9)]).table
    assert found.set_index("tray_id")["side"].to_dict()["T10"] == "low"
    assert (found["side"] != "").sum() == 1


def test_two_trays_that_claim_one_place_are_both_only_listed() -> None:
    found = places(bench="south", position=["1", "1", "2", "3", "4", "5", "6", "7"])
    assert found.table["place"].isna().sum() == 2
    assert "the place of the other 2" in found.in_words()
    apart = places(bench=["south", "north"] * 4, position=["1", "1", "2", "2", "3", "3", "4", "4"])
    assert apart.table["place"].notna().all()
    assert "each in its place" in apart.in_words()


def test_only_the_bench_is_said_to_be_only_the_bench() -> None:
    found = places(bench="south")
    assert "Only the bench is recorded" in found.in_words()
    assert found.table["tray_id"].tolist() == [f"T{n}" for n in range(3, 11)]


def test_nothing_recorded_is_said() -> None:
    found = places()
    assert found.in_words() == "Where the trays stood: not recorded."
    assert found.table.empty


def test_rows_of_one_tray_are_added_up() -> None:
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": ["X", "X", "Y", "Y"],
            "method": ["cleft", "side veneer"] * 2,
            "bench": "south",
            "grafted": 20,
            "taken": [18, 19, 17, 20],
        }
    )
    model = fit_take(records_from_frame(frame), ["method"])
    found = tray_places(model, odd_trays(model)).table
    assert found[["tray_id", "taken", "tried"]].values.tolist() == [["X", 37, 40], ["Y", 37, 40]]


def test_numbers_inside_names_are_sorted_by_size() -> None:
    assert sorted(["b10", "B9", "a", "10", "9"], key=natural) == ["a", "B9", "b10", "9", "10"]
