"""The counts so far are read by the rule that was set: go on, drop it, or wait."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from takestats.cli.app import main

HEADER = "season,tray,scion,understock,grafted,taken,count,count_date"
NEW = "Hamamelis mollis on Hamamelis virginiana"


@pytest.fixture
def plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Path:
    monkeypatch.chdir(tmp_path)
    words = ["trays", "two-stage", "--floor", "70%", "--promising", "90%", "--tray-size", "12"]
    assert main([*words, "--icc", "0.1", "--new", NEW, "--out", "plan"]) == 0
    said = "`takestats trays two-stage --so-far RECORDS --trial plan/trial.toml` says go on"
    assert said in capsys.readouterr().out
    return tmp_path / "plan" / "trial.toml"


def write(*rows: tuple[int, str, str]) -> str:
    lines = [HEADER] + [
        f"2026,T{i},Hamamelis mollis,Hamamelis virginiana,{grafted},{taken},{count},"
        + ("2026-06-15" if taken else "")
        for i, (grafted, taken, count) in enumerate(rows)
    ]
    Path("so_far.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return "so_far.csv"


def ask(*more: str) -> int:
    return main(["trays", "two-stage", "--so-far", "so_far.csv", *more])


def test_the_settings_of_the_plan_hold_the_rule(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """First 24 grafts, drop at 17 or fewer (from the plan's own file)."""
    text = plan.read_text("utf-8")
    first, drop = 24, 19
    assert f'"{first} grafts: drop at {drop} or fewer"' in text
    write((12, "10", "settled"), (12, "11", "settled"))
    assert ask("--trial", str(plan)) == 0
    out = capsys.readouterr().out
    assert "- 21 of 24 grafts took: go on to" in out
    assert f"Counted: {NEW}, 2 trays, settled count, 15 June 2026." in out
    assert out.splitlines()[-1].startswith("Next: graft the rest of the second stage")
    write((12, "10", "settled"), (12, "9", "settled"))
    assert ask("--trial", str(plan)) == 0
    assert "- 19 of 24 grafts took: drop the combination." in capsys.readouterr().out
    assert sorted(p.name for p in Path().iterdir()) == ["plan", "so_far.csv"]


def test_a_first_count_is_not_final(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write((12, "2", "first"), (12, "1", "first"))
    assert ask("--trial", str(plan)) == 0
    out = capsys.readouterr().out
    assert "- 3 of 24 grafts took: this count is not final: wait for the settled count." in out
    assert "Next: count at the settled count" in out


def test_nothing_counted(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write((12, "", ""), (12, "", ""))
    assert ask("--trial", str(plan)) == 0
    assert "Nothing is counted yet: 24 grafts in 2 trays" in capsys.readouterr().out


def test_the_rule_may_be_made_again_from_its_options(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write((6, "4", "settled"))
    words = ["--floor", "70%", "--promising", "90%"]
    assert ask(*words, "--json") == 0
    said = json.loads(capsys.readouterr().out)
    assert said["so_far"]["decision"] == "drop"
    assert said["so_far"]["taken"] == 4
    assert said["rule"]["first"] == 6
    assert ask("--floor", "70%") == 2
    assert capsys.readouterr().err.startswith("--promising: it is not given.")


def test_records_without_a_rule_say_what_is_missing(
    plan: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write((6, "4", "settled"))
    assert ask() == 2
    err = capsys.readouterr().err
    assert err.startswith("--so-far: neither the settings nor the options hold a rule")
    assert "trial.toml of the plan" in err


def test_more_grafts_than_the_rule_has(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write((200, "180", "settled"))
    assert ask("--trial", str(plan)) == 2
    assert capsys.readouterr().err.startswith("--so-far: 200 grafts, the rule has")
