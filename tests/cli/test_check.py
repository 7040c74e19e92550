"""Does ``takestats check`` list faults and tell how far the season is?"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from takestats.cli.app import main

HEADER = "season,tray,method,grafted,taken,count_date"
GOOD = [
    HEADER,
    "2026,T1,cleft,30,26,2026-06-15",
    "2026,T2,side veneer,30,28,2026-06-15",
    "2026,T3,cleft,30,,",
]


@pytest.fixture
def records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(folder: Path, lines: list[str], name: str = "bench.csv") -> None:
    (folder / name).write_text("\n".join(lines) + "\n", encoding="utf-8")


def test_good_records(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(records, GOOD)
    assert main(["check", "bench.csv"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    lines = out.splitlines()
    assert lines[0] == "No faults found."
    assert "Grafted so far, season 2026: 90 grafts in 3 trays." in lines
    assert "  Counted (settled count): 2 trays. Not counted yet: 1 tray: T3." in lines
    assert lines[-1] == "Next: `takestats report bench.csv` makes the season page."


def test_faults_are_two_all_at_once_and_the_rest_is_still_counted(
    records: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(records, [*GOOD, "2026,T4,cleft,30,38?,2026-06-15", "2026,T5,cleft,30,31,2026-06-15"])
    before = (records / "bench.csv").read_bytes()
    assert main(["check", "bench.csv"]) == 2
    out = capsys.readouterr().out
    assert '    row 5, column taken: "38?"' in out
    assert "    row 6, column taken" in out
    assert "Grafted so far, season 2026: 90 grafts in 3 trays." in out
    assert "run `takestats check bench.csv` again, or add --set-aside" in out
    assert (records / "bench.csv").read_bytes() == before
    assert list(records.iterdir()) == [records / "bench.csv"]


def test_set_aside_goes_on(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(records, [*GOOD, "2026,T4,cleft,30,38?,2026-06-15"])
    assert main(["check", "bench.csv", "--set-aside"]) == 0
    assert "`takestats report bench.csv --set-aside`" in capsys.readouterr().out


def test_nothing_counted_yet(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(records, [HEADER, "2026,T1,cleft,30,,", "2026,T2,cleft,30,,"])
    assert main(["check", "bench.csv"]) == 0
    out = capsys.readouterr().out
    assert "Not counted yet: 2 trays: T1, T2." in out
    assert out.splitlines()[-1].startswith("Next: count the trays")


def test_several_files_with_a_space_in_a_name(
    records: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(records, GOOD, "week 1.csv")
    write(records, [HEADER, "2026,T9,cleft,20,20,2026-06-15"], "week2.csv")
    assert main(["check", "week 1.csv", "week2.csv"]) == 0
    out = capsys.readouterr().out
    assert "110 grafts in 4 trays." in out
    assert "`takestats report 'week 1.csv' week2.csv`" in out


def test_json(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(records, [*GOOD, "2026,T4,cleft,30,38?,2026-06-15"])
    assert main(["check", "bench.csv", "--json"]) == 2
    said = json.loads(capsys.readouterr().out)
    assert said["errors"] == 1
    assert said["invented"] is False
    assert said["problems"][0]["value"] == "38?"
    assert said["problems"][0]["row"] == 5
    assert [tray["grafted"] for tray in said["trays"]] == [30, 30, 30]
    assert said["trays"][2]["taken"] is None
    assert said["sources"][0]["file"] == "bench.csv"


TARGETS = """
[names]
ember = "Hamamelis mollis 'Invented Ember'"
virginiana = "Hamamelis virginiana"
[targets]
"ember on virginiana" = 100
"""


def due_bench(folder: Path) -> None:
    header = "season,tray,scion,understock,grafted,taken,graft_date,count_date,bud_break_date"
    rows = [
        "2026,T1,ember,virginiana,30,20,2026-01-12,2026-06-10,2026-03-24",
        "2026,T2,ember,virginiana,30,,2026-01-12,,2026-03-24",
        "2026,T3,ember,virginiana,30,,2026-03-02,,",
        "2026,T4,ember,virginiana,30,,,,",
    ]
    write(folder, [header, *rows])
    (folder / "trial.toml").write_text(TARGETS, encoding="utf-8")


def test_grafted_wanted_left_and_due(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    due_bench(records)
    assert main(["check", "bench.csv", "--trial", "trial.toml", "--on", "2026-06-15"]) == 0
    lines = capsys.readouterr().out.splitlines()
    at = lines.index("Grafted, wanted and left:")
    assert lines[at + 1] == (
        "  Hamamelis mollis 'Invented Ember' on Hamamelis virginiana: 120 grafted, 100 wanted, "
        "0 left; of 30 counted 20 took."
    )
    assert lines[at + 3 : at + 6] == [
        "Due for the settled count on 15 June 2026: 1 tray: T2.",
        "Due later: 1 tray, from 20 July 2026 on: T3.",
        "No date to reckon from: 1 tray: T4. Write the graft date.",
    ]
    assert "10 weeks after bud break" in lines[at + 6]
    assert "common practice, no source" in lines[at + 6]


def test_due_in_json_and_today_by_default(
    records: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    due_bench(records)
    assert main(["check", "bench.csv", "--trial", "trial.toml", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["day"] == dt.date.today().isoformat()
    assert [row["tray_id"] for row in said["due"]] == ["T2", "T3", "T4"]
    assert said["wanted"][0]["left"] == 0
    assert said["written"] == []


def test_a_page_with_its_tables_and_the_same_bytes(
    records: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    due_bench(records)
    words = ["check", "bench.csv", "--trial", "trial.toml", "--on", "2026-06-15", "--out"]
    for folder in ("one", "two"):
        assert main([*words, folder]) == 0
    out = capsys.readouterr().out
    assert "Page:   one/check.html" in out
    assert "Tables: one/check_tables.xlsx, and as CSV in one/tables" in out
    first = {p.relative_to("one"): p.read_bytes() for p in Path("one").rglob("*") if p.is_file()}
    again = {p.relative_to("two"): p.read_bytes() for p in Path("two").rglob("*") if p.is_file()}
    assert first == again
    names = {str(path) for path in first}
    assert names == {".takestats_files.json", "check.html", "check_tables.xlsx"} | {
        f"tables/{name}.csv" for name in ("problems", "changes", "wanted", "due")
    }


def test_a_day_that_is_none_is_told(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(records, GOOD)
    assert main(["check", "bench.csv", "--on", "15 June"]) == 2
    assert capsys.readouterr().err.startswith('--on: "15 June"\n  Rule: A day is written')


def test_headings_alone_are_no_fault(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(records, [HEADER])
    assert main(["check", "bench.csv"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Nothing grafted yet: bench.csv has its headings and no row below them.")
    assert main(["check", "bench.csv", "--json", "--out", "page"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["problems"] == said["trays"] == said["due"] == []
    assert Path("page/check.html").is_file()
    assert main(["report", "bench.csv"]) == 2


@pytest.mark.parametrize(
    "lines",
    [[HEADER, "2026,T1,cleft,30,31,2026-06-15"], ["season,tray,method", "2026,T1,cleft"]],
)
def test_when_no_row_can_be_used_the_list_and_the_page_are_still_made(
    records: Path, lines: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    write(records, lines)
    assert main(["check", "bench.csv", "--set-aside", "--out", "page"]) == 2
    out, err = capsys.readouterr()
    assert err == ""
    assert "no row can be used until then." in out
    assert out.splitlines()[-1] == (
        "Next: put the faults right in the file and run `takestats check bench.csv` again."
    )
    assert "taken" in Path("page/check.html").read_text("utf-8")
    assert main(["check", "bench.csv", "--json"]) == 2
    said = json.loads(capsys.readouterr().out)
    assert said["errors"] == len(said["problems"]) >= 1
    assert said["trays"] == []
