"""Do ``report``, ``compare`` and ``demo`` make their pages, and stop cleanly?"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from takestats.cli.app import main
from takestats.cli.demo import demo_season
from takestats.pages import season_page
from tests.demo_run import DemoRun

FORMULA_MARKS = re.compile(r"\[T\.|\bC\(| ~ ")
LINES = ["season,tray,method,grafted,taken,count_date"] + [
    f"2026,T{i:02d},{'cleft' if i % 2 else 'side veneer'},30,{taken},2026-06-15"
    for i, taken in enumerate([26, 28, 19, 27, 27, 29, 22, 26, 28, 30, 15, 27], start=1)
]


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bench.csv").write_text("\n".join(LINES) + "\n", encoding="utf-8")
    return tmp_path


def test_report_writes_a_page_and_the_same_records_make_the_same_bytes(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", "bench.csv"]) == 0
    out, _ = capsys.readouterr()
    page = bench / "takestats_report" / "season_page.html"
    assert page.is_file()
    assert f"Page:   {page.relative_to(bench)}" in out
    assert "side veneer" in out
    assert out.splitlines()[-1].startswith("Next: open the page")
    assert not FORMULA_MARKS.search(out + page.read_text("utf-8"))
    assert (bench / "bench.csv").read_text("utf-8").splitlines() == LINES
    assert main(["report", "bench.csv", "--out", "two"]) == 0
    first, again = (
        {p.relative_to(made): p.read_bytes() for p in Path(made).rglob("*") if p.is_file()}
        for made in ("takestats_report", "two")
    )
    assert first == again


def test_compare_two_levels(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["compare", "bench.csv", "--by", "method", "--between", "cleft", "side veneer"]
    assert main([*words, "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    tables = said["tables"]
    gaps = next(t for name, t in tables.items() if t and "level_a" in t[0] and "low" in t[0])
    assert {gaps[0]["level_a"], gaps[0]["level_b"]} == {"cleft", "side veneer"}
    assert -1 < gaps[0]["low"] < gaps[0]["difference"] < gaps[0]["high"] < 1
    assert all(Path(path).is_file() for path in said["written"])


def test_compare_in_words(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "bench.csv", "--by", "Method", "--out", "here"]) == 0
    out = capsys.readouterr().out
    assert "points" in out
    assert "Page:   here" in out
    assert "Next: `takestats report bench.csv` shows the whole season." in out


@pytest.mark.parametrize(
    "words",
    [
        ["compare", "bench.csv", "--by", "metod"],
        ["compare", "bench.csv", "--by", "method", "--between", "cleft", "saddel"],
        ["report", "bench.csv", "--trial", "no_settings.toml"],
    ],
)
def test_what_cannot_be_used_is_two_and_writes_nothing(
    bench: Path, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Rule:" in err
    assert "Next:" in err
    assert [p.name for p in bench.iterdir()] == ["bench.csv"]


@pytest.mark.parametrize("command", ["report", "compare"])
def test_faulty_records_stop_a_page_with_the_whole_list(
    bench: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    faulty = [*LINES, "2026,T13,cleft,30,38?,2026-06-15", "2026,T14,cleft,30,31,2026-06-15"]
    (bench / "bench.csv").write_text("\n".join(faulty) + "\n", encoding="utf-8")
    by = ["--by", "method"] if command == "compare" else []
    assert main([command, "bench.csv", *by]) == 2
    err = capsys.readouterr().err
    assert "row 14, column taken" in err
    assert "row 15, column taken" in err
    assert [p.name for p in bench.iterdir()] == ["bench.csv"]
    assert main([command, "bench.csv", *by, "--set-aside"]) == 0


def test_a_folder_that_cannot_be_written_is_one(
    bench: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (bench / "taken").write_text("a file stands here", encoding="utf-8")
    assert main(["report", "bench.csv", "--out", "taken"]) == 1
    err = capsys.readouterr().err
    assert "taken" in err
    assert "Next:" in err
    assert (bench / "taken").read_text("utf-8") == "a file stands here"


def test_demo_is_quick_says_it_is_invented_and_copies_no_source(demo_run: DemoRun) -> None:
    assert demo_run.code == 0
    assert demo_run.seconds < 30
    assert demo_run.said.startswith("INVENTED DATA")
    made = demo_run.folder / "takestats_demo"
    assert (made / "season_page.html").is_file()
    assert demo_run.season_untouched
    season = {p.read_bytes() for p in demo_season().iterdir() if p.is_file()}
    assert not season & {p.read_bytes() for p in made.rglob("*") if p.is_file()}


def test_an_installation_without_the_season_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from takestats.cli import demo as demo_module

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(demo_module, "SEASON", "no_such_season")
    assert main(["demo"]) == 1
    assert "install takestats again" in capsys.readouterr().err


def test_stopped_half_way_leaves_nothing(
    bench: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Stop from the keyboard while the page is made: a sentence, 130, no folder."""

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(season_page, "write_season", stopped)
    assert main(["report", "bench.csv"]) == 130
    err = capsys.readouterr().err
    assert "Stopped." in err
    assert "Traceback" not in err
    assert [p.name for p in bench.iterdir()] == ["bench.csv"]
