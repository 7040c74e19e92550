"""Does ``takestats check`` list faults and tell how far the season is?"""

from __future__ import annotations

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
