"""Does a layout come back from its workbook as what it is, and only then?"""

from __future__ import annotations

import hashlib
import time
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import takestats as ts
from takestats.errors import FileError, SettingsError
from takestats.pages.bench_asked import layout_of_settings
from takestats.pages.bench_workbook import trial_rows
from takestats.pages.season_page import season_report
from takestats.records.settings import read_trial
from takestats.records.targets import typed_takes_of
from takestats.records.workbook_layout import HOW_TO_SHEET, RECORDS_SHEET, TRIAL_SHEET
from tests.pages.filled_layout import SETTINGS, TRUTH, fill_counts, rows_of_sheet


def written(folder: Path, **bench: Any) -> Path:
    trial = read_trial({**SETTINGS, "bench": {**SETTINGS["bench"], **bench}})
    return ts.write_bench(layout_of_settings(trial), folder, trial=trial)[0]


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = written(tmp_path_factory.mktemp("bench"))
    fill_counts(path)
    return path


def test_a_filled_layout_is_read_without_a_fault_and_as_given_by_lot(filled: Path) -> None:
    records = ts.read_records(filled)
    assert records.problems.empty
    assert records.layout == "matches"
    assert records.trial.trial["randomised"] == "tray"
    assert records.invented
    assert len(records.trays) == 32
    assert any(note.startswith("Each row still has the treatment") for note in records.notes)


def test_the_known_truth_lies_inside_the_intervals(filled: Path) -> None:
    """Truth: tests/pages/filled_layout.py; the seed is fixed."""
    model = ts.fit_take(ts.read_records(filled), ["method"])
    rates = ts.take_rates(model, "method").table.set_index("method")
    for method, truth in TRUTH.items():
        assert rates.loc[method, "low"] < truth < rates.loc[method, "high"]
    gap = ts.differences(model, "method").table.iloc[0]
    truth = TRUTH[gap["level_a"]] - TRUTH[gap["level_b"]]
    assert gap["low"] < truth < gap["high"]


def test_the_report_says_that_it_was_given_by_lot(filled: Path) -> None:
    said = " ".join(season_report(ts.read_records(filled)).sentences)
    assert (
        "The bench layout, which these rows still match, shows that method and scion wood were "
        "given to whole trays by lot" in said
    )
    assert "seen together" not in said


def changed(path: Path, folder: Path, column: str, value: object, row: int = 5) -> Path:
    book = load_workbook(path)
    sheet = book[RECORDS_SHEET]
    heads = [cell.value for cell in sheet[2]]
    sheet.cell(row, heads.index(column) + 1).value = value
    out = folder / "changed.xlsx"
    book.save(out)
    return out


@pytest.mark.parametrize(
    ("column", "value"),
    [("method", "splice"), ("tray", "A3AC"), ("block", "day Friday"), ("scion wood", None)],
)
def test_a_row_changed_by_hand_is_no_longer_by_lot(
    filled: Path, tmp_path: Path, column: str, value: object
) -> None:
    records = ts.read_records(changed(filled, tmp_path, column, value))
    assert records.layout == "differs"
    assert records.trial.trial["randomised"] == "no"
    assert any("no longer matches these rows" in note for note in records.notes)


def test_a_broken_layout_is_said_on_the_page(filled: Path, tmp_path: Path) -> None:
    path = changed(filled, tmp_path, "method", "cleft", 6)
    if ts.read_records(path).layout == "matches":  # that row was cleft by lot
        path = changed(filled, tmp_path, "method", "side veneer", 6)
    said = " ".join(season_report(ts.read_records(path)).sentences)
    assert "The bench layout no longer matches these rows, so nothing is claimed" in said
    assert "given to whole trays by lot" not in said


def test_what_does_not_change_a_treatment_changes_nothing(filled: Path, tmp_path: Path) -> None:
    assert ts.read_records(changed(filled, tmp_path, "note", "wet corner")).layout == "matches"
    assert ts.read_records(changed(filled, tmp_path, "taken", 3)).layout == "matches"


def test_rows_of_other_files_beside_the_layout_are_not_claimed(
    filled: Path, tmp_path: Path
) -> None:
    other = tmp_path / "last_year.csv"
    other.write_text("season,tray,method,grafted,taken\n2025,T1,cleft,30,20\n", encoding="utf-8")
    records = ts.read_records([filled, other])
    assert records.layout == "differs"
    assert any("rows of other files stand beside them" in note for note in records.notes)


def test_an_empty_and_a_half_filled_workbook_are_read_without_a_fault(tmp_path: Path) -> None:
    for split in (False, True):
        path = written(tmp_path / str(split), split_trays=split)
        for rows in (0, 7):
            fill_counts(path, rows=rows)
            records = ts.read_records(path)
            assert records.problems.empty
            assert records.layout == "matches"
            assert int(records.trays["counted"].sum()) == rows
            assert records.trial.trial["randomised"] == ("half" if split else "tray")


def test_split_trays_are_told_as_such(tmp_path: Path) -> None:
    path = written(tmp_path, split_trays=True)
    fill_counts(path)
    records = ts.read_records(path)
    assert records.trays["tray_id"].nunique() == 16
    assert len(records.trays) == 32
    said = " ".join(season_report(records).sentences)
    assert "were given to trays or halves of trays by lot" in said


def test_identities_are_locked_and_the_rest_is_open(tmp_path: Path) -> None:
    path = written(tmp_path)
    sheet = load_workbook(path)[RECORDS_SHEET]
    assert sheet.protection.sheet
    heads = [cell.value for cell in sheet[2]]
    locked = {head for head, cell in zip(heads, sheet[3], strict=True) if cell.protection.locked}
    assert locked == {"block", "tray", "position", "method", "scion wood"}
    assert sheet.print_area.endswith("$34")  # a banner, the headings, 32 trays
    rows = rows_of_sheet(path)
    assert len(rows) == 32
    assert all(sheet.cell(n, heads.index("tray") + 1).number_format == "@" for n in range(3, 35))


def test_the_how_to_sheet_has_ten_lines_and_the_invented_line(tmp_path: Path) -> None:
    path = written(tmp_path)
    sheet = load_workbook(path)[HOW_TO_SHEET]
    numbered = [row for row in sheet.iter_rows(values_only=True) if str(row[0]).isdecimal()]
    assert len(numbered) == 10
    assert "INVENTED DATA" in str(sheet["B1"].value)
    assert "INVENTED DATA" in str(load_workbook(path)[RECORDS_SHEET]["A1"].value)


def test_the_settings_stand_on_the_trial_sheet_and_are_read_again(tmp_path: Path) -> None:
    given = {
        **SETTINGS,
        "names": {"moth": "Hamamelis x intermedia 'Copper Moth'"},
        "classes": {"thin": [6, 8], "stout": "8 to 10 mm"},
        "targets": {"moth": {"plants": 200}},
        "costs": {"hour": 20, "prepare": "2 minutes"},
        "trial": {**SETTINGS["trial"], "margin_points": 5, "stages": ["10 first", "then 20"]},
    }
    trial = read_trial(given)
    rows = dict(trial_rows(layout_of_settings(trial), trial))
    back = read_trial({key: value for key, value in rows.items() if value})
    assert back.names == trial.names
    assert back.classes == {"thin": "6 to 8", "stout": "8 to 10 mm"}
    assert back.targets == {"moth": "200"}
    assert back.trial["margin_points"] == 5
    assert back.trial["stages"] == "10 first; then 20"
    assert back.costs["hour"] == 20 or back.costs["hour"] == "20"
    assert back.bench["seed"] == 11
    assert back.bench["drawn"] == ["method", "scion_wood"]
    assert back.compare["factors"] == ["method", "scion_wood"]
    names = {row[0].value for row in load_workbook(written(tmp_path))[TRIAL_SHEET].iter_rows()}
    assert {"bench.layout", "bench.seed", "trial.randomised", "invented", "truth"} <= names


def test_settings_of_an_order_stand_in_one_line_and_are_read_again() -> None:
    work = {
        "usable_share": {"virginiana": "80%", "hornbeam": 0.7},
        "years_grown": 2,
        "union_by_class": {"thin": "low", "stout": "high"},
        "terminal_pieces": 40,
    }
    takes = {"plants": 200, "poor": "60%", "usual": 0.75, "good": 0.85}
    trial = read_trial({**SETTINGS, "work": work, "targets": {"moth": takes}})
    rows = dict(trial_rows(layout_of_settings(trial), trial))
    back = read_trial({key: value for key, value in rows.items() if value})
    assert back.work == trial.work
    assert typed_takes_of(back) == typed_takes_of(trial)


def test_a_setting_of_several_parts_is_refused_in_words() -> None:
    trial = read_trial({**SETTINGS, "costs": {"prepare": {"minutes": 2}}})
    with pytest.raises(SettingsError, match=r"costs\.prepare: a setting of several parts"):
        trial_rows(layout_of_settings(trial), trial)


def test_a_workbook_is_never_written_over_and_no_paper_is_left(tmp_path: Path) -> None:
    path = written(tmp_path)
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    with pytest.raises(FileError, match="A record workbook is never written over"):
        written(tmp_path, seed=12)
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before
    assert path.name == "records.xlsx"


def test_the_same_layout_gives_the_same_bytes(tmp_path: Path) -> None:
    marks = []
    for name in ("a", "b"):
        files = sorted(written(tmp_path / name).parent.iterdir())
        marks.append([(p.name, hashlib.sha256(p.read_bytes()).hexdigest()) for p in files])
    assert len(marks[0]) == 5  # four papers, and the list of them
    assert marks[0] == marks[1]


def test_500_trays_with_their_papers_come_within_their_bar(tmp_path: Path) -> None:
    begun = time.process_time()
    written(tmp_path, trays_each=125, blocks=5)
    assert time.process_time() - begun < 20


OTHER = {"title": "Other settings", "compare": {"factors": ["method"]}}


@pytest.mark.parametrize("lot", [{}, {"randomised": "tray"}])
def test_other_settings_do_not_pass_by_the_layout(filled: Path, lot: dict[str, str]) -> None:
    records = ts.read_records(filled, trial={**OTHER, "trial": lot})
    assert records.layout == "matches"
    assert records.trial.trial["randomised"] == "tray"
    assert records.trial.title == "Other settings"
    assert any("is held against the rows, whatever else" in note for note in records.notes)


def test_other_settings_do_not_hide_that_rows_were_changed(filled: Path, tmp_path: Path) -> None:
    path = changed(filled, tmp_path, "method", "splice")
    records = ts.read_records(path, trial={**OTHER, "trial": {"randomised": "tray"}})
    assert records.layout == "differs"
    assert records.trial.trial["randomised"] == "no"


def test_settings_that_say_that_nothing_was_drawn_keep_their_word(filled: Path) -> None:
    records = ts.read_records(filled, trial={**OTHER, "trial": {"randomised": "no"}})
    assert records.layout == "matches"
    assert records.trial.trial["randomised"] == "no"


def test_layouts_that_are_not_checked_are_named(filled: Path, tmp_path: Path) -> None:
    """Two layouts at once, or a trial sheet with a fault: said, and nothing is made up."""
    second = written(tmp_path / "second", seed=12)
    book = load_workbook(second)
    at = [cell.value for cell in book[RECORDS_SHEET][2]].index("tray") + 1
    for row in range(3, 35):
        book[RECORDS_SHEET].cell(row, at).value = f"N{row}"
    book.save(tmp_path / "second.xlsx")
    records = ts.read_records([filled, tmp_path / "second.xlsx"], trial=OTHER)
    assert records.layout == ""
    assert any("several bench layouts" in note for note in records.notes)
    book = load_workbook(filled)
    book[TRIAL_SHEET].append(["bench.blok", "3"])
    book.save(tmp_path / "fault.xlsx")
    records = ts.read_records(tmp_path / "fault.xlsx", trial=OTHER)
    assert records.layout == ""
    assert any("its trial sheet cannot be read" in note for note in records.notes)
