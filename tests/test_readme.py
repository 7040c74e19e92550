"""Is README true: its numbers, its commands and options, and every file that a page names?

The numbers are worked out again from the committed files of ``reports/`` (and, where a test is the
measurement, from what that test says it does), not from the program.
"""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
import typer

from takestats.cli.app import app, main

ROOT = Path(__file__).parents[1]
REPORTS = ROOT / "reports"
README = (ROOT / "README.md").read_text("utf-8")
PAGES = [
    *(ROOT / name for name in ("README.md", "DEVELOPERS.md")),
    *sorted((ROOT / "datasets_demo").rglob("*.md")),
    *sorted(REPORTS.rglob("*.md")),
]


# What was measured -------------------------------------------------------------------------


@cache
def table(name: str) -> pd.DataFrame:
    return pd.read_csv(REPORTS / f"{name}.csv", low_memory=False)


def row_of(name: str, row: str) -> pd.DataFrame:
    whole = table(name)
    return whole[whole["row"] == row]


def thousandths(share: float) -> str:
    return f"{1000 * share:.0f}"


def coverages(row: str) -> pd.DataFrame:
    frame = row_of("calibration", row)
    assert set(frame["trials"]) == {1000}
    assert sorted(set(frame["seed"])) == [1, 2, 3]
    return frame[["a_coverage", "b_coverage", "gap_coverage"]]


def equal_spread() -> list[str]:
    held = coverages("grid")
    takes = (held["a_coverage"].mean() + held["b_coverage"].mean()) / 2
    return [
        f"lowest {thousandths(held.min().min())} of 1,000 trials",
        f"in {len(held) // 3} settings",
        f"{thousandths(takes)} for a take",
        f"{thousandths(held['gap_coverage'].mean())} for a difference",
    ]


def uneven_spread() -> list[str]:
    held = coverages("unequal")
    take = held[["a_coverage", "b_coverage"]].min().min()
    met = "**not met**" if take < 0.910 else "met"
    return [
        f"lowest {thousandths(take)} of 1,000 trials for a take (promised 910: {met})",
        f"{thousandths(held['gap_coverage'].min())} for a difference",
        f"in {len(held) // 3} settings",
    ]


def promises() -> list[str]:
    page = (REPORTS / "calibration.md").read_text("utf-8")
    parts = {}
    for heading in ("Not met", "Met"):
        lines = page.split(f"\n## {heading}\n")[1].split("\n## ")[0].splitlines()
        parts[heading] = sum(line.startswith("|") for line in lines) - 2  # heading and rule
    met, missed = parts["Met"], parts["Not met"]
    assert f"{met} of {met + missed} promises are met with every seed. {missed} are" in page
    return [f"{met} of {met + missed} are met", f"the {missed} **not met**"]


def planned_power() -> list[str]:
    gaps = [
        abs(float(claimed) - float(power))
        for row in row_of("calibration", "planning").itertuples()
        for claimed, power in zip(row.claimed.split(" / "), row.power.split(" / "), strict=True)
    ]
    assert len(gaps) == 48
    return [f"within {100 * max(gaps):.1f} points"]


def one_order() -> list[str]:
    orders = row_of("calibration_orders", "order")
    met, raw = orders["met_share"].mean(), orders["raw_met_share"].mean()
    said = "met" if 0.88 <= met <= 0.94 else "**not met**"
    return [
        f"in {thousandths(met)} of 1,000 new seasons",
        f"(promised 880 to 940: {said}",
        f"by the raw rate {thousandths(raw)}",
    ]


def pooled_orders() -> list[str]:
    orders = row_of("calibration_orders", "pooled-order")
    means = orders.groupby(["block", "between"])["met_share"].mean()
    assert len(means) == 6
    return [f"at least {thousandths(means.min())} of 1,000"]


def fuzz_sums() -> dict[str, int]:
    lines = (REPORTS / "fuzz.md").read_text("utf-8").splitlines()
    cells = [[c.strip() for c in line.strip("|").split("|")] for line in lines if line[:1] == "|"]
    heads = cells[0]
    return {
        head: sum(int(row[at].replace(",", "") or 0) for row in cells[2:])
        for at, head in enumerate(heads)
        if head not in ("kind", "slowest, s")
    }


def broken_files() -> list[str]:
    sums = fuzz_sums()
    return [f"{sums['tracebacks']} and {sums['over 10 s']} of {sums['files']:,}"]


def planted_faults() -> list[str]:
    sums = fuzz_sums()
    return [f"{sums['told at their cell']:,} of {sums['planted cells']:,}"]


def kills() -> list[str]:
    from tests.faults import test_killed

    marks = [m for m in test_killed.test_fifty_kills.pytestmark if m.name == "parametrize"]
    times = sum(times for _, times in marks[0].args[1])
    return [f"{times} of {times}"]


def layouts() -> list[str]:
    from tests.bench import test_layout

    test: Any = test_layout.test_any_layout_is_balanced_and_drawn_again_by_its_seed
    drawn = test._hypothesis_internal_use_settings.max_examples
    return [f"{drawn:,} of {drawn:,}"]


def ten_million() -> list[str]:
    largest = table("scale").iloc[-1]
    assert largest["rows"] == 10_000_000
    seconds, frame = largest["csv_seconds"], largest["frame_seconds"]
    return [f"{seconds:.2f} seconds, {seconds / frame:.2f} times"]


def processor_seconds(words: str) -> float:
    speeds = table("speed")
    found = speeds[speeds["what"].str.startswith(words)]["processor_seconds"].unique()
    assert len(found) == 1
    return float(found[0])


def forty_trays() -> list[str]:
    return [f"{1000 * processor_seconds('40 trays, one factor: records to tables'):.0f} ms"]


def demo_page_seconds() -> list[str]:
    return [f"{processor_seconds('the report of the demo'):.1f} s"]


MEASURED: dict[str, Callable[[], list[str]]] = {
    "A 95 % interval of a take": equal_spread,
    "... one method's trays far more uneven": uneven_spread,
    "Of all the promises": promises,
    "The power a trial plan claims": planned_power,
    "An order placed at nine chances in ten": one_order,
    "... five combinations that share": pooled_orders,
    "Files broken on purpose": broken_files,
    "Faults planted in cells": planted_faults,
    "Runs killed at a random moment": kills,
    "Layouts drawn at random": layouts,
    "Ten million grafts": ten_million,
    "Forty trays of two methods": forty_trays,
    "The season page of three seasons": demo_page_seconds,
}


def claims() -> list[list[str]]:
    lines = README[README.index("| claim | number | remade by |") :].split("\n\n")[0].splitlines()
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_every_claim_is_worked_out_again() -> None:
    found = [next(key for key in MEASURED if claim.startswith(key)) for claim, _, _ in claims()]
    assert found == list(MEASURED)


@pytest.mark.parametrize("key", MEASURED)
def test_the_number_is_the_one_that_was_measured(key: str) -> None:
    said = next(number for claim, number, _ in claims() if claim.startswith(key))
    for words in MEASURED[key]():
        assert words in said


def test_every_claim_names_a_command_that_is_there() -> None:
    command = ""
    for _, _, remade in claims():
        command = command if remade == "the same" else remade.strip("`")
        assert command.startswith("python -m ")
        words = command.split()
        if words[2] == "pytest":
            assert (ROOT / words[-1]).exists()
        else:
            assert (ROOT / words[2].replace(".", "/") / "__main__.py").exists()
            options = (ROOT / words[2].replace(".", "/") / "__main__.py").read_text("utf-8")
            assert all(f'"{word}"' in options for word in words if word.startswith("--"))


# What can be typed -------------------------------------------------------------------------


def options_of(command: Any) -> set[str]:
    return {
        name
        for parameter in command.params
        for name in (*parameter.opts, *parameter.secondary_opts)
    }


def found_command(words: list[str]) -> tuple[list[str], Any]:
    """The command that these words name, and its path; a word that names none stops it."""
    command: Any = typer.main.get_command(app)
    path = []
    for word in words:
        if not hasattr(command, "commands") or word not in command.commands:
            break
        command = command.commands[word]
        path.append(word)
    return path, command


def typed(text: str) -> list[list[str]]:
    """Everything in backticks or code blocks that begins with the program's name, as words."""
    flat = re.sub(r"```(\w*)\n", r"```\1 ", text)
    spans = re.findall(r"`(takestats(?: [^`]*)?)`", flat.replace("\n", " "))
    blocks = re.findall(r"(?:bin/|Scripts\\)(takestats [^\n;&}`]*)", text)
    return [shlex.split(span.replace("\\ ", " "))[1:] for span in (*spans, *blocks)]


@pytest.mark.parametrize("page", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_command_and_option_named_is_one(page: Path) -> None:
    for words in typed(page.read_text("utf-8")):
        path, command = found_command(words)
        named = [word for word in words if word.islower() and word.isalpha()]
        if named and not words[0].startswith("-"):
            assert path or words[0] == "COMMAND", words
        known = options_of(command) | {"--help", "-h"}
        unknown = [word for word in words if word.startswith("--") and word not in known]
        if words[:1] != ["COMMAND"]:
            assert not unknown, (words, unknown)


def test_options_told_without_their_command_are_those_of_one() -> None:
    every = {"--version"}
    root: Any = typer.main.get_command(app)
    for command in (*root.commands.values(), *root.commands["trays"].commands.values()):
        every |= options_of(command)
    alone = re.findall(r"`(--[a-z-]+)[ `]", README)
    assert len(alone) > 8
    assert not [name for name in alone if name not in every]


def test_every_command_is_in_the_readme() -> None:
    told = {tuple(found_command(words)[0]) for words in typed(README)}
    root: Any = typer.main.get_command(app)
    assert {(name,) for name in root.commands} <= told
    assert all(f"`{name}`" in README for name in root.commands["trays"].commands)


def test_the_reader_of_commands_can_fail() -> None:
    assert typed("run `takestats chek x.csv --colour red` now") == [
        ["chek", "x.csv", "--colour", "red"]
    ]
    assert found_command(["chek"])[0] == []
    assert found_command(["trays", "new", "x"])[0] == ["trays", "new"]
    assert "--between" in options_of(found_command(["compare"])[1])


def test_the_settings_shown_draw_a_layout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    shown = re.findall(r"^```toml\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)
    assert len(shown) == 1
    (tmp_path / "trial.toml").write_text(shown[0], encoding="utf-8")
    assert main(["bench", "trial.toml", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["table"]) == 24


def test_the_records_shown_are_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    shown = re.findall(r"^```csv\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)
    assert len(shown) == 1
    (tmp_path / "records.csv").write_text(shown[0], encoding="utf-8")
    assert main(["check", "records.csv", "--on", "2026-06-15"]) == 0
    assert "No faults found." in capsys.readouterr().out


# What is linked ----------------------------------------------------------------------------


@pytest.mark.parametrize("page", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_file_linked_is_there(page: Path) -> None:
    text = page.read_text("utf-8")
    linked = re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text)
    here = [target for target in linked if "://" not in target]
    assert not [target for target in here if not (page.parent / target).exists()]


ROOTED = re.compile(r"`((?:takestats|tests|reports|datasets_demo|\.ci|\.changes)/[\w./-]*)`")
IN_A_WHEEL = {"takestats/_demo"}


@pytest.mark.parametrize("page", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_path_named_from_the_top_is_there(page: Path) -> None:
    named = ROOTED.findall(page.read_text("utf-8"))
    assert not [path for path in {*named} - IN_A_WHEEL if not (ROOT / path).exists()]


@pytest.mark.parametrize("folder", ["datasets_demo", "reports"])
def test_the_page_of_a_folder_names_every_file_in_it(folder: str) -> None:
    page = (ROOT / folder / "README.md").read_text("utf-8")
    kept = [
        path
        for path in (ROOT / folder).rglob("*.*")
        if path.suffix in {".csv", ".md", ".py", ".toml", ".html", ".svg"} and path.stem != "README"
    ]
    assert len(kept) > 10
    unnamed = [path.name for path in kept if path.name not in page]
    # "calibration.md, .csv, .svg" names three.
    assert not [
        name
        for name in unnamed
        if not re.search(
            rf"{re.escape(name.split('.')[0])}\.md`(, `\.\w+`)*, `\.{name.split('.')[1]}`", page
        )
    ]
