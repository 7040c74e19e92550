"""Killed or stopped at any moment, a run leaves the old output or the new, never half of one.

The moments are random with a fixed seed; what the machine is doing at that moment is not fixed,
and need not be: the folder must be sound whenever it was.
"""

from __future__ import annotations

import os
import shutil
import signal
import time
from collections.abc import Sequence
from pathlib import Path
from random import Random

import pytest

from takestats.pages.files import PASSING
from tests.faults.runs import (
    OUT,
    Branch,
    Ended,
    Run,
    Start,
    found_in,
    lay_out,
    load_what_runs_need,
    signalled,
)
from tests.pages.page_words import page_words

WORDS = {
    "report": ["report", "{which}.csv", "--out", "out"],
    "check": ["check", "{which}.csv", "--on", "2026-07-01", "--out", "out"],
    "bench": ["bench", "trial.toml", "--out", "out"],
    "order": ["order", "{which}_seasons.csv", "--trial", "order.toml", "--out", "out"],
    "typed order": ["order", "--trial", "{which}.toml", "--out", "out"],
    "trays": ["trays", "two-stage", "--floor", "70%", "--promising", "90%", "--tray-size", "12",
              "--out", "out"],
}  # fmt: skip
PAGE = {
    "report": "season_page.html",
    "check": "check.html",
    "bench": "records.xlsx",
    "order": "order_page.html",
    "typed order": "order_page.html",
    "trays": "tray_plan.html",
}
#: A bench workbook is never written over, nor are the settings of another plan: nothing is old.
ALWAYS_NEW = ("bench", "trays")


def words_of(command: str, which: str) -> list[str]:
    return [word.format(which=which) for word in WORDS[command]]


def hold(
    start: Start, command: str, signs: Sequence[signal.Signals], seed: int, base: Path
) -> None:
    """Send each signal to a run of its own; look at what stands in the folder after each."""
    lay_out(base)
    out = base / OUT
    begun = time.monotonic()
    assert start(words_of(command, "new"), base).ended().code == 0
    lasts = time.monotonic() - begun
    new = found_in(out)
    shutil.rmtree(out)
    old: dict[str, bytes] = {}
    if command not in ALWAYS_NEW:
        begun = time.monotonic()  # the first run may have loaded what the next ones find loaded
        assert start(words_of(command, "old"), base).ended().code == 0
        lasts = min(lasts, time.monotonic() - begun)
        old = found_in(out)
        assert old[PAGE[command]] != new[PAGE[command]]
    random = Random(f"{command}/{seed}")
    cut_short = 0
    for number, sign in enumerate(signs):
        late = number % 2 == 1
        after = random.random() * (0.03 if late else lasts)
        ending = signalled(start, words_of(command, "new"), base, sign=sign, after=after, late=late)
        left = found_in(out) if out.exists() else {}
        hold_end(command, ending, sign, left, old, new)
        if sign == signal.SIGINT:
            assert not (out / PASSING).exists()
        cut_short += ending.code != 0
        if command in ALWAYS_NEW:
            shutil.rmtree(out, ignore_errors=True)
        elif left != old:  # the next run meets what this one left; now and then nothing
            if number % 4 == 3:
                shutil.rmtree(out, ignore_errors=True)
            assert start(words_of(command, "old"), base).ended().code == 0
            assert found_in(out) == old
            assert not (out / PASSING).exists()
    assert cut_short >= min(1, len(signs) // 6)
    if old:
        again = start(words_of(command, "new"), base).ended()
        assert (again.code, found_in(out)) == (0, new)
        assert not (out / PASSING).exists()


def hold_end(
    command: str,
    ending: Ended,
    sign: signal.Signals,
    left: dict[str, bytes],
    old: dict[str, bytes],
    new: dict[str, bytes],
) -> None:
    """What a reader finds, and what was said, after a signal."""
    if sign == signal.SIGKILL:
        assert ending.code in (0, -sign)
        assert left in (old, new) or PAGE[command] not in left, sorted(left)
        assert left.items() <= old.items() or left.items() <= new.items()
        return
    assert ending.code in (0, 130), ending
    assert "Traceback" not in ending.complained
    if ending.code == 130:
        said = ending.complained.strip()
        assert said.endswith("Stopped. No half-written file was left behind.")
    assert left in (old, new), sorted(left)


def test_eight_kills_and_three_stops(tmp_path: Path) -> None:
    """The short form, in branches of this process, which has loaded all that they need."""
    load_what_runs_need()
    kill, stop = signal.SIGKILL, signal.SIGINT
    for name, signs in (
        ("check", (kill, kill, stop, stop)),
        ("typed order", (kill, kill, stop)),
        ("bench", (kill, kill)),
        ("trays", (kill, kill)),
    ):
        folder = tmp_path / name
        folder.mkdir()
        hold(Branch, name, signs, 1, folder)


def test_an_order_killed_while_it_came_in_can_be_the_earlier_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The old order had gone out and the new one was not there: the next run finds the new one."""
    load_what_runs_need()
    lay_out(tmp_path)
    new = words_of("typed order", "new")
    assert Branch(words_of("typed order", "old"), tmp_path).ended().code == 0
    real = os.replace

    def killed(source: Path, target: Path) -> None:
        if target.name == "order.json" and "old" not in target.parts:
            os.kill(os.getpid(), signal.SIGKILL)
        real(source, target)

    with monkeypatch.context() as patch:
        patch.setattr("takestats.pages.files.os.replace", killed)
        assert Branch(new, tmp_path).ended().code == -signal.SIGKILL
    assert not (tmp_path / OUT / "order.json").exists()
    assert Branch([*new, "--earlier", OUT], tmp_path).ended().code == 0
    words = page_words((tmp_path / OUT / "order_page.html").read_text("utf-8"))
    assert "Since the earlier order" in words
    assert "350 understocks, as before" in words


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "times"),
    [("report", 13), ("order", 13), ("bench", 10), ("check", 7), ("trays", 7)],
)
def test_fifty_kills(command: str, times: int, tmp_path: Path) -> None:
    hold(Run, command, [signal.SIGKILL] * times, 2, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "times"),
    [("report", 8), ("order", 8), ("bench", 6), ("check", 4), ("trays", 4)],
)
def test_thirty_stops_from_the_keyboard(command: str, times: int, tmp_path: Path) -> None:
    hold(Run, command, [signal.SIGINT] * times, 3, tmp_path)
