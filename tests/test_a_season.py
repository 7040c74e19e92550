"""Does the season told in ``datasets_demo`` print what it says, and do its intervals hold?

Each block of the page that begins with ``$ takestats`` is run, in the order of the page, in a copy
of the folder; what is printed must be what stands there, line breaks aside, three dots standing for
anything. The truth is that of known_truth.csv, made by make_season.py and not by the package.
"""

from __future__ import annotations

import csv
import doctest
import re
import shlex
import shutil
from functools import cache
from pathlib import Path

import pytest

import takestats as ts
from takestats.cli.app import main
from tests.demo_run import DemoRun
from tests.test_demo_data import DEMO, FILES, graft_rows, rows_of

PAGE = (DEMO / "a_season.md").read_text("utf-8")
BLOCK = re.compile(r"^```console\n\$ (takestats .*?[^\\])\n(.*?)^```$", re.DOTALL | re.MULTILINE)
LOOSELY = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
EXPECTED_CODES = {"check planted_faults.csv": 2}
NEWEST = "2025-26"


def runs() -> list[tuple[list[str], str]]:
    """Each command of the page, as words, with what the page says it prints."""
    return [
        (shlex.split(command.replace("\\\n", " "))[1:], printed)
        for command, printed in BLOCK.findall(PAGE)
    ]


def fenced(kind: str) -> str:
    found = re.findall(rf"^```{kind}\n(.*?)^```$", PAGE, re.DOTALL | re.MULTILINE)
    assert len(found) == 1
    return str(found[0])


def same(told: str, got: str) -> str:
    """Say where the page and the program part; blank when they do not."""
    checker, example = doctest.OutputChecker(), doctest.Example("", told)
    if checker.check_output(told, got, LOOSELY):
        return ""
    return checker.output_difference(example, got, LOOSELY)


def test_every_command_prints_what_the_page_says(
    tmp_path: Path,
    demo_run: DemoRun,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    hollow = tmp_path / "hollow"
    shutil.copytree(DEMO, hollow, ignore=shutil.ignore_patterns("__pycache__"))
    (hollow / "bench.toml").write_text(fenced("toml"), encoding="utf-8")
    monkeypatch.chdir(hollow)
    for words, told in runs():
        if words == ["demo"]:  # made once for the whole suite
            code, got = demo_run.code, demo_run.said
        else:
            code, got = main(words), capsys.readouterr().out
        assert code == EXPECTED_CODES.get(" ".join(words[:2]), 0), words
        assert not same(told, got), f"takestats {' '.join(words)}\n{same(told, got)}"
    compared = hollow / "takestats_comparison" / "tables" / "difference_by_combination.csv"
    gap = next(csv.DictReader(compared.read_text("utf-8-sig").splitlines()[1:]))
    assert (gap["level_a"], gap["level_b"]) == (SENTRY, KITE)
    numbers = [float(gap[name]) for name in ("difference", "low", "high")]
    numbers.append(true_value(SENTRY, KITE, "difference"))
    told_of = next(line for line in told_truths() if line[0] == "'Grey Sentry' minus 'Paper Kite'")
    assert [told_of[1].split()[0], *told_of[2:]] == [f"{100 * number:.1f}" for number in numbers]


def test_every_question_of_the_year_is_in_it() -> None:
    named = [" ".join(words[:2]) if words[0] == "trays" else words[0] for words, _ in runs()]
    assert PAGE.count("$ takestats") == len(named)
    assert list(dict.fromkeys(named)) == [
        "start", "trays tell-apart", "trays new", "bench", "check", "order", "demo", "compare",
        "trays two-stage",
    ]  # fmt: skip
    assert named[-1] == "order"


def test_the_reader_of_blocks_can_fail() -> None:
    told = "a take of 82 %\n...\nthe end\n"
    assert not same(told, "a take of\n  82 %\nand more\nthe end\n")
    assert same(told, "a take of 83 %\nand more\nthe end\n")


def test_the_page_says_first_that_all_is_invented_with_seed_and_truth() -> None:
    top = PAGE.split("\n\n")[1]
    for words in ("INVENTED DATA", "Seed 20234", "known_truth.csv"):
        assert words in top


def test_the_rows_shown_stand_in_the_sheet_of_february() -> None:
    sheet = (DEMO / "so_far_2026_02_13.csv").read_text("utf-8").splitlines()
    assert fenced("csv").splitlines() == sheet[2:4]


def test_what_was_known_in_november_is_what_the_two_winters_say() -> None:
    """By hand from the files, and by analysis of variance within each method of each winter."""
    taken, made, cell = [], [], []
    for path in FILES[:2]:
        for row in graft_rows(path):
            if row["count"] == "settled":
                taken.append(int(row["taken"]))
                made.append(int(row["grafted"]) - int(row["missing"]))
                cell.append((path.name, row["method"]))
    for method, said in (("cleft", 0.75), ("side veneer", 0.90)):
        mine = [i for i, (_, name) in enumerate(cell) if name == method]
        share = sum(taken[i] for i in mine) / sum(made[i] for i in mine)
        assert share == pytest.approx(said, abs=0.015)
    found = ts.intra_tray_correlation(taken, made, [" ".join(c) for c in cell])
    told = [f"{number:.2f}" for number in (found.estimate, found.low, found.high)]
    page = " ".join(PAGE.split())
    assert f"it was {told[0]}, and anything from {told[1]} to {told[2]}" in page
    assert f"--icc {told[2]} " in page


def test_the_first_count_was_as_much_better_as_the_page_says() -> None:
    rows = graft_rows(FILES[2])
    settled = {r["tray"]: r for r in rows if r["count"] == "settled" and r["taken"]}
    made = sum(int(r["grafted"]) - int(r["missing"]) for r in settled.values())
    first = [r for r in rows if r["count"] == "first" and r["tray"] in settled]
    early = 100 * sum(int(r["taken"]) for r in first)
    early /= sum(int(r["grafted"]) - int(r["missing"]) for r in first)
    late = 100 * sum(int(r["taken"]) for r in settled.values()) / made
    page = " ".join(PAGE.split())
    assert f"{early:.1f} of 100 grafts seemed to have taken" in page
    assert f"and {late:.1f} of 100 at the settled count" in page


# What the table calls it: the table of the page, the words that find its row, whether it is
# turned round, and the level, the other level and the kind of the truth.
SENTRY = "Carpinus betulus 'Grey Sentry' on Carpinus betulus"
KITE = "Carpinus japonica 'Paper Kite' on Carpinus betulus"
LAMP = "Hamamelis virginiana 'Last Lamp' on Hamamelis virginiana"
TRUTHS = {
    "all grafts, take": ("take_overall", "", "all", "", "take"),
    "cleft, take": ("take_by_method", "cleft", "cleft", "", "take"),
    "side veneer, take": ("take_by_method", "side veneer", "side veneer", "", "take"),
    "side veneer minus cleft": ("difference_by_method", "", "cleft", "side veneer", "difference"),
    "terminal minus sub-terminal wood": (
        "difference_by_scion_wood", "", "sub_terminal", "terminal", "difference",
    ),
    "low minus high union": ("difference_by_union_height_mm", "", "high", "low", "difference"),
    "stout minus thin understock": ("difference_by_caliper_class", "", "stout", "thin",
                                    "difference"),
    "'Last Lamp', take": ("take_by_combination", LAMP, LAMP, "", "take"),
    "saleable, of those that took": ("stages", "saleable of taken", "all", "",
                                     "saleable_of_taken"),
}  # fmt: skip


def told_truths() -> list[list[str]]:
    table = PAGE[PAGE.index("| what | the page said") :].split("\n\n")[0]
    lines = table.splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


@cache
def page_table(folder: Path, name: str) -> list[dict[str, str]]:
    lines = (folder / "takestats_demo" / "tables" / f"{name}.csv").read_text("utf-8-sig")
    return list(csv.DictReader(lines.splitlines()[1:]))


def true_value(level: str, against: str, what: str) -> float:
    found = [
        float(row["truth"])
        for row in rows_of(DEMO / "known_truth.csv")
        if (row["season"], row["level"], row["against"], row["what"])
        == (NEWEST, level, against, what)
    ]
    assert len(found) == 1
    return found[0]


def test_the_table_of_truths_is_what_the_page_and_the_truth_file_say(demo_run: DemoRun) -> None:
    told = told_truths()
    assert len(told) >= 9
    for what, said, low, high, truth in told:
        assert float(low) <= float(truth) <= float(high), what
        if what not in TRUTHS:
            continue
        name, words, level, against, kind = TRUTHS[what]
        rows = page_table(demo_run.folder, name)
        if len(rows) > 1:
            rows = [
                row for row in rows if words in row.values() and row.get("season", NEWEST) == NEWEST
            ]
        assert len(rows) == 1, what
        row = rows[0]
        middle = next(row[c] for c in ("take_rate", "difference", "share") if c in row)
        true = true_value(level, against, kind)
        if kind == "difference" and row["level_a"] == against:
            true = -true
        assert said.split()[0] == f"{100 * float(middle):.1f}", what
        assert (low, high) == tuple(f"{100 * float(row[c]):.1f}" for c in ("low", "high")), what
        assert truth == f"{100 * true:.1f}", what
