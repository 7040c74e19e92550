"""Has each later count its sheet, and does the filled workbook read in one go?"""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import takestats as ts
from takestats.errors import DesignError, SettingsError
from takestats.pages.bench_asked import layout_of_settings
from takestats.pages.season_page import season_report
from takestats.records.settings import read_trial
from takestats.records.workbook_layout import COUNT_SHEETS
from tests.pages.filled_layout import DAYS, SETTINGS, TRUTH, fill_counts, fill_later, rows_of_sheet

KINDS: dict[str, dict[str, Any]] = {
    "whole": {},
    "split": {"split_trays": True},
    "grafts": {"rows": "graft", "tray_size": 8},
    "grafts of halves": {"rows": "graft", "split_trays": True, "tray_size": 4},
}


def settled_of(path: Path) -> int:
    """Grafts taken, summed as typed."""
    return sum(int(row["taken"]) for row in rows_of_sheet(path))


def written(folder: Path, **bench: Any) -> Path:
    trial = read_trial({**SETTINGS, "bench": {**SETTINGS["bench"], **bench}})
    return ts.write_bench(layout_of_settings(trial), folder, trial=trial)[0]


@pytest.mark.parametrize("kind", KINDS)
def test_a_workbook_filled_on_every_sheet_reads_in_one_go(kind: str, tmp_path: Path) -> None:
    """Settled counts lie about the known truth; of the later ones each is one less a tray."""
    path = written(tmp_path, **KINDS[kind])
    fill_counts(path)
    expected = {"settled": settled_of(path), **fill_later(path, *DAYS)}
    records = ts.read_records(path)
    assert records.problems.empty
    assert records.layout == "matches"
    sums = records.counts.groupby("count")[["grafted", "taken"]].sum()
    assert sums["taken"].to_dict() == expected
    assert sums["grafted"].nunique() == 1  # the same grafts at each count, never added
    assert records.trays["grafted"].sum() == sums["grafted"].iloc[0]
    assert records.count == "settled"
    if kind in ("whole", "grafts of halves"):
        return  # what the report says of whole trays stands in test_bench_workbook.py
    rates = ts.take_rates(ts.fit_take(records, ["method"]), "method").table.set_index("method")
    for method, truth in TRUTH.items():
        assert rates.loc[method, "low"] < truth < rates.loc[method, "high"]
    said = " ".join(season_report(records).sentences)
    unit = "trays or halves of trays" if kind == "split" else "whole trays"
    assert f"were given to {unit} by lot" in said
    assert "seen together" not in said


@pytest.mark.parametrize("kind", ["whole", "split", "grafts"])
def test_half_filled_it_has_no_fault_and_claims_no_graft_too_many(
    kind: str, tmp_path: Path
) -> None:
    path = written(tmp_path, **KINDS[kind])
    empty = ts.read_records(path)
    assert empty.problems.empty
    assert not empty.trays["grafted"].notna().any()
    fill_counts(path, rows=6)
    fill_later(path, "later", rows=2)
    records = ts.read_records(path)
    assert records.problems.empty
    assert records.layout == "matches"
    each = 1 if kind.startswith("grafts") else (15 if kind == "split" else 30)
    assert records.trays["grafted"].sum() == 6 * each
    assert records.counts.query("count == 'later'")["grafted"].sum() == 2 * each


def test_its_trays_are_filled_in_and_locked_and_its_count_is_named(tmp_path: Path) -> None:
    book = load_workbook(written(tmp_path, split_trays=True))
    assert [COUNT_SHEETS[name] for name in ("later", "season end", "next spring")] == (
        book.sheetnames[2:5]
    )
    records = book["records"]
    codes = [records.cell(row, 2).value for row in range(3, 35)]
    for name in ("later count", "season end", "next spring"):
        sheet = book[name]
        heads = [cell.value for cell in sheet[2]]
        assert "INVENTED DATA" in str(sheet["A1"].value)
        assert [sheet.cell(n, heads.index("tray") + 1).value for n in range(3, 35)] == codes
        assert sheet.protection.sheet
        locked = {h for h, cell in zip(heads, sheet[3], strict=True) if cell.protection.locked}
        assert locked == {"block", "tray", "position", "method", "scion wood", "count"}
        assert {"count date", "alive", "understock dead", "missing", "note"} <= set(heads)
        assert ("saleable" in heads) == (name == "season end")
        assert sheet.freeze_panes == "C3"
        assert sheet.print_area.endswith("$34")
        rule = next(
            one
            for one in sheet.data_validations.dataValidation
            if f"{sheet.cell(2, heads.index('alive') + 1).column_letter}3" in str(one.sqref)
        )
        assert (rule.type, rule.errorStyle) == ("custom", "stop")
        assert "SUMIFS(records!" in rule.formula1
        assert len(rule.formula1) <= 255


def test_counts_with_a_sheet_are_those_that_are_named(tmp_path: Path) -> None:
    names = load_workbook(written(tmp_path / "a", counts=["spring", "first count"])).sheetnames
    assert names[2:4] == ["first count", "next spring"]
    names = load_workbook(written(tmp_path / "b", counts="none")).sheetnames
    assert names[2] == "trial"
    with pytest.raises(SettingsError) as refused:
        written(tmp_path / "c", counts=["nxt spring"])
    assert refused.value.told() == (
        'settings: bench.counts names "nxt spring"\n'
        "  Rule: Each count beside the settled one has its sheet; the settled count stands on the "
        "record sheet.\n"
        '  Next: Is it "next spring"? Known: callus check, first, later, season end, next spring.'
    )


def test_an_early_count_of_its_own_sheet_is_joined_as_well(tmp_path: Path) -> None:
    path = written(tmp_path, counts="first", split_trays=True)
    fill_counts(path)
    fill_later(path, "first", day=dt.date(2026, 3, 20))
    records = ts.read_records(path)
    assert records.problems["kind"].eq("query").all()
    assert records.counts.groupby("count")["grafted"].nunique().to_dict() == {
        "first": 1,
        "settled": 1,
    }


def test_a_row_for_each_graft_needs_the_size_of_a_tray_and_has_an_end(tmp_path: Path) -> None:
    bench = {k: v for k, v in SETTINGS["bench"].items() if k != "tray_size"}
    trial = read_trial({**SETTINGS, "bench": bench})
    with pytest.raises(DesignError) as refused:
        ts.write_bench(layout_of_settings(trial), tmp_path, trial=trial, rows="graft")
    assert refused.value.told() == (
        "bench.rows: a row for each graft, and no bench.tray_size\n"
        "  Rule: A row for each graft can be written beforehand only where the cells of a tray are "
        "known.\n"
        '  Next: Write tray_size = 30 under [bench], or rows = "tray".'
    )
    with pytest.raises(DesignError) as refused:
        written(tmp_path, rows="graft", tray_size=1000)
    assert refused.value.told() == (
        "bench.rows: 32000 grafts, each with a row of its own\n"
        "  Rule: A sheet of single grafts has 30000 rows at most, so that it still opens.\n"
        '  Next: Nearest: rows = "tray", which keeps one row for each tray; or a workbook for each '
        "part of the bench."
    )
    assert list(tmp_path.iterdir()) == []


def test_a_code_typed_twice_is_told_and_nothing_is_claimed(tmp_path: Path) -> None:
    path = written(tmp_path)
    fill_counts(path)
    book = load_workbook(path)
    book["records"]["B4"].value = book["records"]["B3"].value
    book.save(path)
    with pytest.raises(ts.RecordsError) as refused:
        ts.read_records(path)
    told = refused.value.problems.to_dict("records")
    assert {(one["row"], one["column"]) for one in told} == {(4, "position")}
    assert "A tray stands in one place" in told[0]["rule"]
    assert "two trays need two names" in told[0]["next_step"]
