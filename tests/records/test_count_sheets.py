"""Is a count on a sheet of its own joined to its tray, never added to it?"""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from takestats.errors import RecordsError
from takestats.records.read import read_records
from takestats.records.result import Records

RECORDS: list[list[Any]] = [
    ["tray", "method", "stock caliper", "graft date", "grafted", "count date", "taken"],
    ["A", "cleft", "8 mm", dt.date(2026, 1, 12), 20, dt.date(2026, 6, 16), 15],
    ["A", "side veneer", "8 mm", dt.date(2026, 1, 13), 10, dt.date(2026, 6, 16), 9],
    ["B", "cleft", "9 mm", dt.date(2026, 1, 12), 30, dt.date(2026, 6, 16), 21],
    ["C", "cleft", "9 mm", None, None, None, None],
]
HEAD: list[Any] = ["tray", "method", "count", "count date", "alive"]


def read(folder: Path, later: list[list[Any]], records: Any = None, **more: Any) -> Records:
    book = Workbook()
    book.active.title = "records"
    for row in RECORDS if records is None else records:
        book.active.append(row)
    sheet = book.create_sheet("next spring")
    for row in later:
        sheet.append(row)
    book.save(folder / "bench.xlsx")
    return read_records(folder / "bench.xlsx", **more)


def test_a_count_of_its_own_sheet_is_the_same_tray_again(tmp_path: Path) -> None:
    """The season stays that of the settled count, though the day is in the next one."""
    day = dt.date(2027, 4, 1)
    later = [
        HEAD,
        ["A", "cleft", "next spring", day, 14],
        ["A", "side veneer", "next spring", day, 8],
        ["B", None, "next spring", day, 20],
        ["C", "cleft", "next spring", None, None],
    ]
    records = read(tmp_path, later)
    assert records.problems.empty
    assert len(records.trays) == 4
    assert records.trays["grafted"].sum() == 60
    assert records.trays["taken"].sum() == 45
    sums = records.counts.groupby("count")[["grafted", "taken"]].sum()
    assert sums.to_dict("index") == {
        "next spring": {"grafted": 60.0, "taken": 42.0},
        "settled": {"grafted": 60.0, "taken": 45.0},
    }
    assert records.counts.groupby(["tray", "count"]).ngroups == 4
    assert set(records.counts["season"]) == {records.trays["season"].iloc[0]}
    assert len(records.table) == 7  # the row without a count says nothing, like a blank row


def test_an_earlier_count_of_its_own_sheet_is_joined_as_well(tmp_path: Path) -> None:
    day = dt.date(2026, 3, 20)
    later = [HEAD, ["A", "cleft", "first", day, 19], ["A", "side veneer", "first", day, 10]]
    records = read(tmp_path, later)
    assert records.problems.empty
    assert records.counts.groupby("count")["grafted"].sum().to_dict() == {
        "first": 30.0,
        "settled": 60.0,
    }
    assert records.trays["taken"].sum() == 45


def test_a_tray_that_is_not_on_the_record_sheet_is_named(tmp_path: Path) -> None:
    with pytest.raises(RecordsError) as refused:
        read(tmp_path, [HEAD, ["Z", "cleft", "later", dt.date(2026, 9, 1), 14]])
    (told,) = refused.value.problems.to_dict("records")
    assert (told["sheet"], told["row"], told["column"], told["value"]) == (
        "next spring", 2, "tray", "Z",
    )  # fmt: skip
    assert told["rule"] == (
        "The sheet of a count tells of trays of the record sheet; this one is not on it."
    )
    assert told["next_step"].startswith("Check the tray name")


def test_which_part_of_a_tray_it_is_must_be_said(tmp_path: Path) -> None:
    with pytest.raises(RecordsError) as refused:
        read(tmp_path, [HEAD, ["A", None, "later", dt.date(2026, 9, 1), 14]])
    assert "which part of the tray" in " ".join(refused.value.problems["rule"])


def test_more_alive_than_were_grafted_is_refused_and_a_rise_is_asked_about(
    tmp_path: Path,
) -> None:
    day = dt.date(2026, 9, 1)
    with pytest.raises(RecordsError) as refused:
        read(tmp_path, [HEAD, ["B", "cleft", "later", day, 31]])
    assert refused.value.problems["column"].tolist() == ["taken"]
    records = read(tmp_path, [HEAD, ["B", "cleft", "later", day, 22]])
    assert records.problems["kind"].tolist() == ["query"]


def test_a_treatment_that_differs_on_the_count_sheet_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(RecordsError) as refused:
        read(tmp_path, [HEAD, ["B", "splice", "later", dt.date(2026, 9, 1), 20]])
    assert "method" in refused.value.problems["column"].tolist()


def test_the_settled_count_told_twice_is_never_added(tmp_path: Path) -> None:
    with pytest.raises(RecordsError) as refused:
        read(tmp_path, [HEAD, ["B", "cleft", "settled", dt.date(2026, 6, 16), 21]])
    assert set(refused.value.problems["column"]) == {"tray"}


def test_single_grafts_are_joined_graft_by_graft(tmp_path: Path) -> None:
    day, later = dt.date(2026, 6, 16), dt.date(2026, 9, 1)
    grafts = [["tray", "graft", "stock caliper", "count date", "taken"]]
    grafts += [["A", n, f"{7 + n % 3} mm", day, int(n < 8)] for n in range(10)]
    again = [["tray", "graft", "count", "count date", "alive"]]
    again += [["A", n, "later", later, int(n < 6)] for n in range(10)]
    records = read(tmp_path, again, grafts)
    assert records.problems.empty
    sums = records.counts.groupby("count")[["grafted", "taken"]].sum().to_dict("index")
    assert sums["settled"] == {"grafted": 10.0, "taken": 8.0}
    assert sums["later"] == {"grafted": 10.0, "taken": 6.0}
    assert len(records.trays) == 3  # one line for each caliper


def test_rows_of_grafts_that_nobody_made_are_no_grafts(tmp_path: Path) -> None:
    """Only where the settings say that the layout wrote a row for each graft beforehand."""
    grafts: list[list[Any]] = [["tray", "graft", "graft date", "count date", "taken"]]
    day = dt.date(2026, 1, 12)
    grafts += [["A", n, day if n < 8 else None, None, None] for n in range(10)]
    grafts += [["B", n, None, None, None] for n in range(10)]
    ahead = {"bench": {"rows": "graft"}}
    head = ["tray", "graft", "count", "count date", "alive"]
    records = read(tmp_path, [head], grafts, trial=ahead)
    made = records.trays.set_index("tray")["grafted"].to_dict()
    assert made["A"] == 8
    assert made["B"] != made["B"]  # not grafted yet
    assert len(records.trays) == 2
    plain = read(tmp_path, [head], grafts)
    assert plain.trays.groupby("tray")["grafted"].sum().to_dict() == {"A": 10.0, "B": 10.0}
