"""Does the workbook of a layout come back from LibreOffice as the layout that was drawn?"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

import takestats as ts
from takestats.pages.bench_asked import layout_of_settings
from takestats.records.season_so_far import due_table
from takestats.records.settings import read_trial
from takestats.records.workbook_layout import COUNT_SHEETS, RECORDS_SHEET, WEEK_SHEET
from takestats.wording import workbook_week as words
from tests.office.conftest import Convert
from tests.pages.filled_layout import DAYS, SETTINGS, fill_counts, fill_later, rows_of_sheet


def test_a_layout_comes_back_whole_locked_and_recognised(tmp_path: Path, convert: Convert) -> None:
    split = {**SETTINGS, "bench": {**SETTINGS["bench"], "split_trays": True}}
    filled = []
    for name, given in (("whole", SETTINGS), ("split", split)):
        trial = read_trial(given)
        path = ts.write_bench(layout_of_settings(trial), tmp_path / name, trial=trial)[0]
        fill_counts(path)
        filled.append(path.rename(tmp_path / f"{name}.xlsx"))
    for before, after in zip(filled, convert(filled, "xlsx"), strict=True):
        records = ts.read_records(after)
        assert records.problems.empty
        assert records.layout == "matches"
        assert records.trays.equals(ts.read_records(before).trays)
        assert rows_of_sheet(after) == rows_of_sheet(before)
        sheet, was = (load_workbook(path)[RECORDS_SHEET] for path in (after, before))
        assert sheet.protection.sheet
        locked = [[cell.protection.locked for cell in row] for row in sheet["A3:L34"]]
        assert locked == [[cell.protection.locked for cell in row] for row in was["A3:L34"]]
        assert {True, False} <= {cell for row in locked for cell in row}
        asked, kept = rules(was), rules(sheet)
        assert len(asked) > 5
        assert {where: kind for where, (kind, _) in kept.items()} == {
            where: kind for where, (kind, _) in asked.items()
        }
        assert min(last for _, last in kept.values()) >= 34  # every tray is still checked


def rules(sheet: Worksheet) -> dict[str, tuple[str, int]]:
    """The checks of cells: where each begins, its kind, and its last row."""
    return {
        str(rule.sqref).split(":")[0]: (rule.type, max(part.max_row for part in rule.sqref.ranges))
        for rule in sheet.data_validations.dataValidation
        if rule.type
    }


DAY = dt.date(2026, 6, 20)
STATES = dict(zip(("left", "due", "waiting", "counted"), words.STATES, strict=True))


@dataclass(frozen=True)
class Week:
    """The sheet of the week as LibreOffice worked it out."""

    tally: dict[str, object]
    states: dict[str, str]


def week(path: Path) -> Week:
    rows = list(load_workbook(path, data_only=True)[WEEK_SHEET].iter_rows(values_only=True))
    tally = {str(row[0]): row[1] for row in rows if row[1] is not None}
    states = {str(row[0]): str(row[3]) for row in rows if row[3] in words.STATES}
    return Week(tally, states)


def in_part(path: Path) -> None:
    """Grafts of 12 January in 12 trays, of 15 June in 8; six of the first are counted."""
    book = load_workbook(path)
    sheet, first = book[RECORDS_SHEET], book[WEEK_SHEET]
    at = {cell.value: cell.column for cell in sheet[2]}
    lines = [n for n in range(3, sheet.max_row + 1) if sheet.cell(n, at["tray"]).value]
    codes = list(dict.fromkeys(sheet.cell(n, at["tray"]).value for n in lines))
    for row in lines:
        tray = codes.index(sheet.cell(row, at["tray"]).value)
        if tray >= 20:
            continue
        sheet.cell(row, at["graft date"]).value = dt.date(2026, *((1, 12), (6, 15))[tray >= 12])
        if "grafted" in at:
            sheet.cell(row, at["grafted"]).value = 15
        if tray < 6:
            sheet.cell(row, at["count date"]).value = dt.date(2026, 6, 16)
            sheet.cell(row, at["taken"]).value = 1
    day = next(n for n in range(1, 9) if first.cell(n, 1).value == words.DAY)
    first.cell(day, 2).value = DAY
    book.save(path)


@pytest.fixture(scope="module")
def weeks(tmp_path_factory: pytest.TempPathFactory, convert: Convert) -> dict[str, Path]:
    """Half filled workbooks of a layout, each with a row for something else, worked out."""
    folder = tmp_path_factory.mktemp("weeks")
    kinds = {
        "tray": {},
        "half": {"split_trays": True, "trays_each": 12},
        "graft": {"rows": "graft", "tray_size": 6},
        "later": {},
    }
    paths = []
    for name, bench in kinds.items():
        trial = read_trial({**SETTINGS, "bench": {**SETTINGS["bench"], **bench}})
        path = ts.write_bench(layout_of_settings(trial), folder / name, trial=trial)[0]
        if name == "later":
            fill_counts(path)
            fill_later(path, *DAYS)
        else:
            in_part(path)
        paths.append(path.rename(folder / f"{name}.xlsx"))
    return dict(zip(kinds, convert(paths, "xlsx"), strict=True))


@pytest.mark.parametrize("kind", ["tray", "half", "graft"])
def test_the_week_says_what_check_says(kind: str, weeks: dict[str, Path]) -> None:
    """The trays that are due, waiting and counted are those of the records, by another way."""
    records = ts.read_records(weeks[kind])
    assert records.problems.empty
    assert records.layout == "matches"
    due = due_table(records, DAY)
    told = week(weeks[kind])
    for state, wanted in ((words.STATES[1], True), (words.STATES[2], False)):
        assert {code for code, said in told.states.items() if said == state} == set(
            due.loc[due["is_due"] == wanted, "tray_id"]
        )
    assert Counter(told.states.values()) == {
        STATES["due"]: 6,
        STATES["waiting"]: 8,
        STATES["counted"]: 6,
        **({STATES["left"]: len(told.states) - 20} if len(told.states) > 20 else {}),
    }
    made = records.trays["grafted"].sum()
    assert told.tally[words.MADE] == made
    assert told.tally[words.MADE_THIS_WEEK] == made * 8 / 20
    assert told.tally[words.BEGUN] == 20
    assert told.tally[words.TO_GRAFT] == len(told.states) - 20
    assert told.tally[words.DUE] == 6
    assert told.tally[words.COUNTED] == 6


def test_every_count_comes_back_and_the_week_counts_them(weeks: dict[str, Path]) -> None:
    records = ts.read_records(weeks["later"])
    assert records.problems.empty
    assert records.layout == "matches"
    counts = records.counts.groupby("count")["grafted"].agg(["sum", "size"])
    assert set(counts.index) == {"settled", *DAYS}
    assert set(counts["sum"]) == {960.0}
    told = week(weeks["later"])
    for count in DAYS:
        assert told.tally[words.count_row(count, "trays")] == 32
    assert set(told.states.values()) == {STATES["counted"]}
    book = load_workbook(weeks["later"])
    for count in DAYS:
        sheet = book[COUNT_SHEETS[count]]
        assert sheet.protection.sheet
        assert len(rules(sheet)) >= 4
        locked = {cell.value for cell in sheet[3] if cell.protection.locked}
        assert {"A3AA", count} <= locked
        assert 30 not in locked
