"""A question that cannot be asked names its option and the nearest one that can."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from takestats.cli.app import main
from tests.planning.few_trials import few_trials

APART = "tell-apart --takes 80% 90% --tray-size 30"
FLOOR = "above-floor --floor 70% --take 85% --tray-size 30"


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.chdir(tmp_path)
    with few_trials():
        yield tmp_path


@pytest.mark.parametrize(
    ("words", "where", "told"),
    [
        ("tell-apart --takes 95 90% --tray-size 30", "--takes: '95'", "did you mean 95 %?"),
        ("tell-apart --takes 80% 120% --tray-size 30", "--takes: '120%'", "as 90% or 0.9"),
        (
            "tell-apart --takes 80% 80% --tray-size 30",
            "--takes: both",
            "`takestats trays no-worse`",
        ),
        ("tell-apart --takes 80% 90%", "--tray-size: it is not given", "as --tray-size 30"),
        ("tell-apart --takes 80% 90% --tray-size 0", "--tray-size: 0", "--tray-size 24"),
        (f"{APART} --power 80", "--power: '80'", "Then write 80% or 0.8"),
        (f"{APART} --power 5%", "--power: 0.05", "ask for a power of 0.8 or 0.9"),
        (f"{APART} --arms 1", "--arms: 1", "--arms 2"),
        (f"{APART} --icc 5", "--icc: [5.0]", "--past FILE"),
        (f"{APART} --icc much", "--icc: 'much'", "--past FILE"),
        (f"{APART} --most-trays 1", "--most-trays: 1", "leave it at 500"),
        (f"{APART} --most-trays 6", "--most-trays: to tell 80 %", "6 trays of each can tell 80 %"),
        (
            f"{APART} --at-most-grafts 60",
            "--at-most-grafts: 60",
            "give smaller trays (--tray-size)",
        ),
        (f"{APART} --at-most-grafts 0", "--at-most-grafts: 0", "--at-most-grafts 60"),
        (
            f"{APART} --both-in-each-tray --arms 3",
            "--both-in-each-tray: 3 methods, 30 grafts in a tray",
            "leave out --both-in-each-tray",
        ),
        ("estimate --take 85% --margin 0 --tray-size 30", "--margin: 0.0", "--margin 0.05"),
        ("estimate --take 85% --margin 10 --tray-size 30", "--margin: '10'", '"10 points" or 0.1'),
        ("estimate --take 100% --margin 0.1 --tray-size 30", "--take: 1.0", "as 0.95"),
        (FLOOR.replace("70%", "90%"), "--floor, --take: floor 90 %", "a floor below 85 %"),
        (f"{FLOOR} --most-trays 3", "--most-trays: ", "3 trays can show a floor of"),
        (
            "no-worse --standard-take 90% --new-take 75% --margin 10points --tray-size 30",
            "--new-take, --margin: 75 %",
            "a margin above 15 points",
        ),
        (
            "no-worse --standard-take 5% --margin 10points --tray-size 30",
            "--standard-take, --margin: a margin of 10 points",
            "`takestats trays above-floor`",
        ),
        ("two-stage --floor 90% --promising 70%", "--floor, --promising: floor 90 %", "below 70 %"),
        (
            "two-stage --floor 89% --promising 90%",
            "--floor, --promising: 89 %",
            "`takestats trays above-floor`",
        ),
        ("two-stage --floor 70%", "--promising: it is not given", "--floor 70% --promising 90%"),
        ("two-stage --floor 70% --promising 90% --power 5%", "--power: 0.05", "0.8 or 0.9"),
        ("two-stage --floor 70% --promising 90% --by-mistake 0", "--by-mistake: 0.0", ""),
        ("two-stage --floor 70% --promising 90% --icc 0.1", "--icc, --tray-size", "--icc 0"),
        ("new --scion moth --understock rose --tray-size 9", "--scion: 'moth'", "[names]"),
    ],
)
def test_it_is_told_in_four_parts_and_writes_nothing(
    words: str,
    where: str,
    told: str,
    here: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # On a slow machine a line of progress would stand first.
    monkeypatch.setattr("takestats.cli.progress.PATIENCE_SECONDS", math.inf)
    assert main(["trays", *words.split()]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    lines = err.splitlines()
    assert lines[0].startswith(where)
    assert lines[1].startswith("  Rule: ")
    assert lines[2].startswith("  Next: ")
    assert told in lines[2]
    for inside in ("tray_size", "take_a", "take_b", "trays_to_", "most_trays", "_grafts", "past="):
        assert inside not in err
    assert not list(here.iterdir())
