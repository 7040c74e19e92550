from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from takestats.errors import RecordsError
from takestats.records.read import records_from_frame
from takestats.records.result import Records
from tests.records.planted import parts_sheet


def read(rows: list[dict[str, Any]], **more: Any) -> Records:
    return records_from_frame(pd.DataFrame(rows), **more)


def test_a_later_row_finds_its_part_of_the_tray() -> None:
    sheet = parts_sheet(2)
    for row in sheet[4:]:
        row["grafted"] = ""
    records = read(sheet)
    assert records.trays["grafted"].tolist() == [15.0] * 4
    assert records.counts.groupby("count")["grafted"].sum().to_dict() == {
        "first": 60.0, "settled": 60.0,
    }  # fmt: skip


def test_a_later_row_with_a_blank_is_the_only_part_it_does_not_contradict() -> None:
    sheet = [
        {"tray": "A", "method": "cleft", "caliper": "6", "grafted": "10", "count": "first",
         "taken": "9"},
        {"tray": "A", "method": "splice", "caliper": "6", "grafted": "10", "count": "first",
         "taken": "8"},
        {"tray": "A", "method": "splice", "caliper": "", "grafted": "", "count": "settled",
         "taken": "7"},
        {"tray": "A", "method": "cleft", "caliper": "", "grafted": "", "count": "settled",
         "taken": "6"},
    ]  # fmt: skip
    records = read(sheet)
    assert records.trays[["method", "taken"]].to_numpy().tolist() == [
        ["cleft", 6.0], ["splice", 7.0],
    ]  # fmt: skip
    assert set(records.changes["why"]) == {"the tray's other count"}


def test_where_it_may_be_two_parts_it_is_asked() -> None:
    sheet = parts_sheet(1)
    sheet[2]["method"] = ""
    with pytest.raises(RecordsError) as refused:
        read(sheet)
    (told,) = refused.value.problems.to_dict("records")
    assert "row 1 or row 2" in told["rule"]


def test_a_part_that_is_new_at_a_later_count_is_a_line_of_its_own() -> None:
    sheet = parts_sheet(1)
    sheet[3]["method"] = "splice"
    records = read(sheet)
    assert records.trays["method"].tolist() == ["cleft", "side veneer", "splice"]
    assert records.trays["counted"].tolist() == [True, False, True]


def test_a_column_nobody_knows_may_change_from_count_to_count() -> None:
    sheet = [
        {"tray": t, "method": "cleft", "grafted": "20", "count": c, "taken": "15", "weather": w}
        for c, w in (("first", "wet"), ("settled", "dry"))
        for t in ("A", "B")
    ]
    records = read(sheet)
    assert records.problems.empty
    assert "weather" not in records.trays
    assert records.table["weather"].tolist() == ["wet", "wet", "dry", "dry"]
    assert any('"weather" differs from count to count' in note for note in records.notes)


def test_a_count_that_is_not_known_keeps_its_row_out_of_the_comparison() -> None:
    sheet = parts_sheet(1)
    sheet.append({**sheet[2], "count": "midsummer", "alive": "3"})
    with pytest.raises(RecordsError) as refused:
        read(sheet)
    assert refused.value.problems["column"].tolist() == ["count"]
