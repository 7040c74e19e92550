"""Does the command line start, list its commands and end with the right code?"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import takestats
from takestats.cli import app as app_module
from takestats.cli.app import main
from takestats.cli.compare import column_name

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
COMMANDS = ["start", "bench", "check", "report", "compare", "order", "demo"]
FORMULA_MARKS = re.compile(r"\[T\.|\bC\(| ~ ")


def test_bare_tells_the_year(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "The grafting year, and what to run when" in out
    for command in [*COMMANDS, "trays"]:
        assert f"takestats {command}" in out
        assert f"`takestats {command}" in README
    assert all(len(line) <= 88 for line in out.splitlines())


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.strip() == takestats.__version__


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_each_command(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, "--help"]) == 0
    out = capsys.readouterr().out
    assert "--json" in out
    assert not FORMULA_MARKS.search(out)
    assert f"`takestats {command}" in README


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (["chek"], "No such command 'chek'"),
        (["check"], "Missing argument"),
        (["compare", "x.csv"], "Missing option '--by'"),
        (["report", "x.csv", "--colour"], "No such option"),
        (["compare", "x.csv", "--by", "method", "--between", "cleft"], "requires 2 arguments"),
    ],
)
def test_wrong_words_are_two_and_told_in_four_parts(
    words: list[str], what: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert what in err.splitlines()[0]
    assert err.splitlines()[1].startswith("  Rule: ")
    assert err.splitlines()[2].startswith("  Next: run `takestats")


def test_wrong_words_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["chek", "--json"]) == 2
    parts = json.loads(capsys.readouterr().out)["error"]
    assert list(parts) == ["where", "what", "rule", "next_step"]


@pytest.mark.parametrize("command", ["check", "report", "compare"])
def test_a_missing_file_is_bad_input(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    more = ["--by", "method"] if command == "compare" else []
    assert main([command, "no_such_file.csv", *more]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "no_such_file.csv" in err
    assert "Next:" in err


def test_a_stop_from_the_keyboard_is_a_sentence(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop() -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr(app_module, "year", stop)
    assert main([]) == 130
    assert capsys.readouterr().err == "\nStopped. No half-written file was left behind.\n"


def test_it_runs_as_a_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "takestats", "chek"], capture_output=True, text=True
    )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("typed", ["scion_wood", "Scion wood", "scion-wood", " SCION_WOOD "])
def test_a_column_is_read_as_typed(typed: str) -> None:
    assert column_name(typed) == "scion_wood"


def test_small_matrices_get_one_thread_unless_the_user_says_otherwise(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(app_module, "main", lambda: 0)
    monkeypatch.setenv("OMP_NUM_THREADS", "3")
    monkeypatch.delenv("OPENBLAS_NUM_THREADS", raising=False)
    monkeypatch.setattr(sys, "warnoptions", ["error"])
    with pytest.raises(SystemExit):
        app_module.run()
    assert os.environ["OPENBLAS_NUM_THREADS"] == "1"
    assert os.environ["OMP_NUM_THREADS"] == "3"
    monkeypatch.undo()


def test_a_star_is_spread_where_the_shell_does_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """From memory: on Windows a program is handed the star itself."""
    monkeypatch.chdir(tmp_path)
    for year in (2025, 2024):
        Path(f"season_{year}.csv").write_text(
            f"season,tray,grafted,taken\n{year},T1,30,24\n", encoding="utf-8"
        )
    words = ["check", "season_*.csv", "--on", "2026-06-15", "other_*.csv", "why?"]
    named = ["season_2024.csv", "season_2025.csv"]
    assert app_module.spread(words) == [words[0], *named, *words[2:]]
    monkeypatch.setattr(app_module.sys, "argv", ["takestats", *words[:4]])
    monkeypatch.setattr(app_module, "SHELL_LEAVES_STARS", True)
    assert main() == 0
    assert "No faults found." in capsys.readouterr().out
