"""Do the six questions about trays print, write and refuse as they should?"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from takestats.cli import progress
from takestats.cli.app import main
from takestats.cli.trays import QUESTIONS
from takestats.cli.trays_options import each_named
from takestats.planning import built
from tests.planning.few_trials import few_trials
from tests.planning.past_seasons import NAMES, bench

ROOT = Path(__file__).parents[2]
QUESTION_NAMES = ["estimate", "tell-apart", "above-floor", "no-worse", "two-stage", "new"]
FORMULA_MARKS = re.compile(r"\[T\.|\bC\(| ~ ")
APART = ["trays", "tell-apart", "--takes", "60%", "95%", "--tray-size", "12"]


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.chdir(tmp_path)
    with few_trials():
        yield tmp_path


@pytest.fixture
def past(here: Path) -> list[str]:
    """Two invented seasons as two files, and the settings that name their plants."""
    table = bench(("copper", "wren", "lamp"))
    for season, rows in table.groupby("season"):
        rows.to_csv(f"season_{season}.csv", index=False)
    names = "\n".join(f'{short} = "{full}"' for short, full in NAMES.items())
    text = f'invented = true\nseed = 5\ntruth = "this file"\n[names]\n{names}\n'
    (here / "nursery.toml").write_text(text, encoding="utf-8")
    return ["--past", "season_2024.csv", "season_2025.csv", "--trial", "nursery.toml"]


def test_bare_trays_tells_the_six_questions(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trays"]) == 0
    assert capsys.readouterr().out.strip() == QUESTIONS.strip()
    for name in QUESTION_NAMES:
        assert f"takestats trays {name} " in QUESTIONS
    assert all(len(line) <= 94 for line in QUESTIONS.splitlines())


@pytest.mark.parametrize("name", QUESTION_NAMES)
def test_help_of_each_question(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trays", name, "--help"]) == 0
    out = capsys.readouterr().out
    for option in ("--json", "--out", "--past", "--tray-size", "--trial"):
        assert option in out
    assert not FORMULA_MARKS.search(out)


def test_the_answer_comes_first_then_rule_limits_spares_and_next_step(
    here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Progress is told after two seconds, which a busy machine may need: here all else is looked at.
    monkeypatch.setattr(progress, "PATIENCE_SECONDS", 600.0)
    assert main([*APART, "--new", "side veneer", "--standard", "cleft"]) == 0
    out, err = capsys.readouterr()
    lines = out.splitlines()
    assert re.match(r"- Plan \d+ trays of 12 grafts for each of 2 methods", lines[0])
    order = [
        "The rule, set before the first graft:",
        "Set aside:",
        "What this trial cannot show:",
        "Page:     takestats_trays/tray_plan.html",
        "Settings: takestats_trays/trial.toml",
        "Next: Draw by lot which trays",
    ]
    places = [out.index(words) for words in order]
    assert places == sorted(places)
    assert "`takestats report RECORDS --trial takestats_trays/trial.toml` answers" in lines[-1]
    assert "at 0.02" in out  # a range, not one number
    assert "at 0.2" in out
    assert "`takestats bench trial.toml`" in out
    assert not FORMULA_MARKS.search(out)
    assert err == ""
    read = tomllib.loads((here / "takestats_trays" / "trial.toml").read_text("utf-8"))
    assert read["trial"]["new"] == "side veneer"
    assert read["trial"]["question"] == "Does side veneer take better or worse than cleft?"


def test_json_is_one_object_with_proportions(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["trays", "above-floor", "--floor", "0.6", "--take", "90%", "--tray-size", "12"]
    assert main([*words, "--icc", "0.05", "0.1", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert [row["icc"] for row in said["tables"]["plan"]] == [0.05, 0.1]
    assert all(0.8 <= row["power"] <= 1 for row in said["tables"]["plan"])
    assert said["settings"]["trial"]["floor"] == 0.6
    assert said["recommendation"] == said["sentences"][0]
    assert said["past"] is None
    assert all(Path(path).is_file() for path in said["written"])
    assert said["rule"].startswith("Above the floor if")


@pytest.mark.parametrize(
    ("words", "first"),
    [
        (["estimate", "--take", "90%", "--margin", "15 points"], "- Plan "),
        (["no-worse", "--standard-take", "90%", "--margin", "15points"], "- Plan "),
        (["two-stage", "--floor", "70%", "--promising", "90%"], "- Plan two stages: "),
        (
            ["two-stage", "--floor", "70%", "--promising", "90%", "--least-total"],
            "- Plan two stages: ",
        ),
    ],
)
def test_every_question_is_answered(
    words: list[str], first: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["trays", *words, "--tray-size", "12", "--out", "here"]) == 0
    out = capsys.readouterr().out
    assert out.startswith(first)
    assert Path("here/tray_plan.html").is_file()


def test_the_past_gives_the_range_and_the_tray_size_and_is_called_invented(
    past: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["trays", "above-floor", "--floor", "60%", "--take", "90%"]
    assert main([*words, *past]) == 0
    out = capsys.readouterr().out
    assert out.startswith("INVENTED DATA, seed 5")
    assert "No tray size was given: 24 grafts are taken, as most trays of the past" in out
    assert "read off past records (36 trays, 864 grafts, 2 seasons)" in out
    toml = Path("takestats_trays/trial.toml").read_text("utf-8")
    assert toml.startswith("# INVENTED DATA, seed 5")
    assert "invented" not in tomllib.loads(toml)


def test_a_new_combination_by_its_short_name(
    past: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["trays", "new", "--understock", "stock", "--at-most-grafts", "24", *past]
    assert main([*words, "--scion", "amber", "--out", "one"]) == 0
    assert "Hamamelis mollis 'Amber Mill' on Hamamelis virginiana" in capsys.readouterr().out


def test_a_short_name_of_the_settings_needs_no_past(
    past: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Else "amber mill" would be a plant of the genus amber."""
    settings = Path("nursery.toml")
    told = settings.read_text("utf-8").replace("amber =", '"amber mill" =')
    settings.write_text(told, encoding="utf-8")
    words = ["trays", "new", "--understock", "stock", "--scion", "Amber Mill", "--out", "alone"]
    words += ["--at-most-grafts", "24", "--tray-size", "8", "--trial", "nursery.toml"]
    assert main(words) == 0
    assert "Hamamelis mollis 'Amber Mill' on Hamamelis virginiana" in capsys.readouterr().out


def test_a_hostile_name_stays_a_name(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["trays", "new", "--understock", "Hamamelis virginiana", "--tray-size", "8"]
    words += ["--at-most-grafts", "24"]
    hostile = "Hamamelis mollis '<script>alert(1)</script>\"]'"
    assert main([*words, "--scion", hostile, "--out", "two"]) == 0
    assert hostile in capsys.readouterr().out
    html = Path("two/tray_plan.html").read_text("utf-8")
    assert "<script" not in html
    assert "&lt;script&gt;alert(1)" in html
    read = tomllib.loads(Path("two/trial.toml").read_text("utf-8"))
    assert read["trial"]["new"] == f"{hostile} on Hamamelis virginiana"


def test_settings_that_are_there_are_never_written_over(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = here / "takestats_trays"
    folder.mkdir()
    (folder / "trial.toml").write_text('title = "mine"\n', encoding="utf-8")
    assert main(APART) == 2
    err = capsys.readouterr().err
    assert "a trial.toml that this command did not write stands here" in err
    assert "--out" in err
    assert [p.name for p in folder.iterdir()] == ["trial.toml"]


def test_the_same_question_makes_the_same_bytes(here: Path) -> None:
    for folder in ("one", "two"):
        assert main([*APART, "--icc", "0.1", "--out", folder]) == 0
    first = {p.relative_to("one"): p.read_bytes() for p in Path("one").rglob("*") if p.is_file()}
    again = {p.relative_to("two"): p.read_bytes() for p in Path("two").rglob("*") if p.is_file()}
    assert first == again
    # Once more into the same folder: nothing differs, nothing is refused.
    assert main([*APART, "--icc", "0.1", "--out", "one"]) == 0


# Common practice, no source: what a grower of both would expect of the trade's two extremes.
def test_rooted_under_a_tenth_against_grafted_over_nine_tenths_needs_the_fewest_trays(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["trays", "tell-apart", "--takes", "8%", "96%", "--tray-size", "30"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("- Plan 2 trays of 30 grafts for each of 2 methods, 120 grafts in all")
    assert "2 trays of each are the fewest that show how trays differ at all" in out


# Common practice, no source.
def test_ninety_against_ninety_five_is_very_many(capsys: pytest.CaptureFixture[str]) -> None:
    assert (
        main(["trays", "tell-apart", "--takes", "90%", "95%", "--tray-size", "30", "--icc", "0.1"])
        == 0
    )
    out = capsys.readouterr().out
    trays = int(re.match(r"- Plan (\d+) trays", out).group(1))  # type: ignore[union-attr]
    assert trays >= 60
    assert "That is very many: " in out
    assert "A larger step would ask for fewer." in out


def test_few_grafts_are_told_what_they_can_do(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["trays", "tell-apart", "--takes", "80%", "90%", "--tray-size", "12"]
    assert main([*words, "--at-most-grafts", "100"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("- With 4 trays of 12 grafts for each of 2 methods")
    assert "What they can do in 80 of 100 such trials: tell 80 % from" in out
    assert "of 100 there are 4 left for a spare tray" in out


def test_stopped_while_planning_leaves_nothing(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(built, "search_trays", stopped)
    assert main(APART) == 130
    assert capsys.readouterr().err.endswith("Stopped. No half-written file was left behind.\n")
    assert not list(here.iterdir())


def test_progress_is_said_on_stderr_after_two_seconds(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "PATIENCE_SECONDS", -1.0)
    assert main([*APART, "--icc", "0.1", "--json"]) == 0
    out, err = capsys.readouterr()
    json.loads(out)
    said = err.splitlines()
    assert "trays to tell the two apart, at an intra-tray correlation of 0.1" in said[0]
    assert any("power against trays" in line for line in said)
    assert said[-1].endswith("writing the page ...")


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        (["--past", "a", "b", "--json"], ["--past", "a", "--past", "b", "--json"]),
        (["--icc", "0.1"], ["--icc", "0.1"]),
        (["--icc=0.1", "0.2"], ["--icc=0.1", "0.2"]),
        (["--takes", "80%", "90%"], ["--takes", "80%", "90%"]),
    ],
)
def test_several_values_after_one_option(typed: list[str], named: list[str]) -> None:
    assert each_named(typed) == named
