"""Killed or stopped at any moment, a run leaves the old output or the new, never half of one.

The moments are random with a fixed seed; what the machine is doing at that moment is not fixed,
and need not be: the folder must be sound whenever it was.
"""

from __future__ import annotations

import shutil
import signal
import time
from pathlib import Path
from random import Random

import pytest

from takestats.cli.app import main
from takestats.pages.files import PASSING
from tests.faults.runs import OUT, Branch, Run, Start, found_in, lay_out, signalled

WORDS = {
    "report": ["report", "{which}.csv", "--out", "out"],
    "check": ["check", "{which}.csv", "--on", "2026-07-01", "--out", "out"],
    "bench": ["bench", "trial.toml", "--out", "out"],
}
PAGE = {"report": "season_page.html", "check": "check.html", "bench": "records.xlsx"}


def words_of(command: str, which: str) -> list[str]:
    return [word.format(which=which) for word in WORDS[command]]


def hold(
    start: Start, command: str, times: int, seed: int, sign: signal.Signals, base: Path
) -> None:
    """Send the signal to so many runs; look at what stands in the folder after each."""
    lay_out(base)
    out = base / OUT
    begun = time.monotonic()
    assert start(words_of(command, "new"), base).ended().code == 0
    lasts = time.monotonic() - begun
    new = found_in(out)
    out.rename(base / "whole")
    old: dict[str, bytes] = {}
    if command != "bench":  # a bench workbook is never written over: its folder is always new
        assert start(words_of(command, "old"), base).ended().code == 0
        old = found_in(out)
        assert old[PAGE[command]] != new[PAGE[command]]
    random = Random(f"{command}/{seed}")
    cut_short = 0
    for number in range(times):
        late = number % 2 == 1
        after = random.random() * (0.03 if late else lasts)
        ending = signalled(start, words_of(command, "new"), base, sign=sign, after=after, late=late)
        left = found_in(out) if out.exists() else {}
        if sign == signal.SIGKILL:
            assert ending.code in (0, -sign)
            sound = left in (old, new) or PAGE[command] not in left
            assert sound, sorted(left)
            assert left.items() <= old.items() or left.items() <= new.items()
        else:
            assert ending.code in (0, 130), ending
            assert "Traceback" not in ending.complained
            if ending.code == 130:
                assert ending.complained.strip().endswith(
                    "Stopped. No half-written file was left behind."
                )
            assert left in (old, new), sorted(left)
            assert not (out / PASSING).exists()
        cut_short += ending.code != 0
        if left != old or command == "bench":  # lay the old output out again
            for path in sorted(out.rglob("*"), reverse=True) if out.exists() else ():
                path.unlink() if path.is_file() else path.rmdir()
            if old:
                assert start(words_of(command, "old"), base).ended().code == 0
                assert found_in(out) == old
    assert cut_short >= min(1, times // 8)
    if sign == signal.SIGKILL and command != "bench":
        again = start(words_of(command, "new"), base).ended()
        assert (again.code, found_in(out)) == (0, new)
        assert not (out / PASSING).exists()


def test_five_kills_and_two_stops(tmp_path: Path) -> None:
    """The short form, in branches of this process, which has loaded all that they need."""
    lay_out(tmp_path)
    for name in ("check", "bench"):
        words = [w.replace("{which}", str(tmp_path / "new")) for w in WORDS[name]]
        words = [str(tmp_path / w) if w in ("out", "trial.toml") else w for w in words]
        assert main(words) == 0
        shutil.rmtree(tmp_path / OUT)
    for name, times, sign in (
        ("check", 3, signal.SIGKILL),
        ("bench", 2, signal.SIGKILL),
        ("check", 2, signal.SIGINT),
    ):
        folder = tmp_path / f"{name}-{sign}"
        folder.mkdir()
        hold(Branch, name, times, 1, sign, folder)


@pytest.mark.slow
@pytest.mark.parametrize(("command", "times"), [("report", 24), ("check", 14), ("bench", 12)])
def test_fifty_kills(command: str, times: int, tmp_path: Path) -> None:
    hold(Run, command, times, 2, signal.SIGKILL, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize(("command", "times"), [("report", 14), ("check", 8), ("bench", 8)])
def test_thirty_stops_from_the_keyboard(command: str, times: int, tmp_path: Path) -> None:
    hold(Run, command, times, 3, signal.SIGINT, tmp_path)
