"""Does ``takestats bench`` go from settings to papers and back to a report?"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from takestats.cli.app import main
from takestats.records.read import read_records
from tests.pages.filled_layout import fill_counts, fill_later

TRIAL = """\
title = "Cleft or side veneer"
invented = true
seed = 20260114
truth = "tests/pages/filled_layout.py"
[bench]
trays_each = 6
tray_size = 30
blocks = 3
[bench.treatments]
method = ["cleft", "side veneer"]
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "trial.toml").write_text(TRIAL, encoding="utf-8")
    return tmp_path


def test_from_plan_to_bench_and_back(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["bench", "trial.toml", "--out", "bench"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "- 12 trays in 3 blocks: 2 treatments, 6 trays of each, 2 in each block." in out
    assert "was made, since none was given" in out
    assert "Labels:   bench/tray_labels.html" in out
    assert out.splitlines()[-1].endswith("then run `takestats check bench/records.xlsx`.")
    fill_counts(Path("bench/records.xlsx"))
    assert main(["check", "bench/records.xlsx"]) == 0
    said = capsys.readouterr().out
    assert "No faults found." in said
    assert "gave it by lot: method." in said
    assert main(["report", "bench/records.xlsx", "--out", "page", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert any("shows that method was given to whole trays by lot" in s for s in told["sentences"])


def test_the_seed_in_the_workbook_draws_the_same_again(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["bench", "trial.toml", "--json"]) == 0
    first = json.loads(capsys.readouterr().out)
    assert first["seed_was_made"]
    seed = read_records("takestats_bench/records.xlsx").trial.bench["seed"]
    assert seed == first["seed"]
    again = TRIAL.replace("blocks = 3", f"blocks = 3\nseed = {seed}")
    (folder / "again.toml").write_text(again, encoding="utf-8")
    assert main(["bench", "again.toml", "--out", "again", "--json"]) == 0
    second = json.loads(capsys.readouterr().out)
    assert second["layout"] == first["layout"]
    assert second["table"] == first["table"]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("trays_each = 6", "trays_each = 7", "9 or 6 trays of each in 3 blocks, or 7 in 1 block"),
        ("trays_each = 6\n", "", "there is no bench.trays_each"),
        ('["cleft", "side veneer"]', '["cleft"]', "one treatment only"),
        ("blocks = 3", "blocks = 3\nlayout = 'ab'", "a layout that was drawn already"),
        ("method =", "metod =", 'Is it "method"?'),
        ("blocks = 3", "block = 3", 'Is it "blocks"?'),
    ],
)
def test_settings_that_cannot_be_laid_out_write_nothing(
    folder: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, told: str
) -> None:
    assert old in TRIAL
    (folder / "trial.toml").write_text(TRIAL.replace(old, new), encoding="utf-8")
    assert main(["bench", "trial.toml"]) == 2
    err = capsys.readouterr().err
    assert "trial.toml" in err
    assert told in err
    assert not Path("takestats_bench").exists()


def test_a_filled_workbook_is_never_written_over(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["bench", "trial.toml"]) == 0
    before = Path("takestats_bench/records.xlsx").read_bytes()
    assert main(["bench", "trial.toml"]) == 2
    assert "never written over" in capsys.readouterr().err
    assert Path("takestats_bench/records.xlsx").read_bytes() == before


def test_a_missing_file_of_settings_is_told(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["bench", "none.toml"]) == 2
    assert "there is no such file of settings" in capsys.readouterr().err


def test_a_row_for_each_graft_goes_to_the_report_with_any_settings(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "trial.toml").write_text(TRIAL.replace("30", "6"), encoding="utf-8")
    assert main(["bench", "trial.toml", "--out", "bench", "--rows", "graft"]) == 0
    assert "12 trays" in capsys.readouterr().out
    fill_counts(Path("bench/records.xlsx"))
    assert main(["check", "bench/records.xlsx", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["problems"] == []
    assert len(told["trays"]) == 12
    other = 'title = "Other"\n[compare]\nfactors = ["method"]\n'
    (folder / "other.toml").write_text(other, encoding="utf-8")
    words = ["report", "bench/records.xlsx", "--trial", "other.toml", "--out", "page", "--json"]
    assert main(words) == 0
    told = json.loads(capsys.readouterr().out)
    assert any("shows that method was given to whole trays by lot" in s for s in told["sentences"])


def test_a_half_filled_workbook_goes_through_check_and_report(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["bench", "trial.toml", "--out", "bench"]) == 0
    fill_counts(Path("bench/records.xlsx"), rows=8)
    fill_later(Path("bench/records.xlsx"), "later", rows=4)
    capsys.readouterr()
    assert main(["check", "bench/records.xlsx"]) == 0
    said = capsys.readouterr().out
    assert "No faults found." in said
    assert "8 trays" in said
    assert main(["report", "bench/records.xlsx", "--out", "page", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert any("which these rows still match" in line for line in told["sentences"])


def test_rows_of_something_else_are_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["bench", "trial.toml", "--rows", "leaf"]) == 2
    assert '"rows" is one of: tray, graft.' in capsys.readouterr().err
    assert not Path("takestats_bench").exists()
