"""Does a long task say that it is alive, on stderr only?"""

from __future__ import annotations

import io
import sys

import pytest

from takestats.cli import progress


def test_a_log_gets_a_line_per_step_after_two_seconds(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = iter([0.0, 1.0, 2.5])
    monkeypatch.setattr(progress.time, "monotonic", lambda: next(clock))
    with progress.working("Making the season page") as say:
        say("early step")
        say("fitting method")
    out, err = capsys.readouterr()
    assert out == ""
    assert err == "Making the season page: fitting method ...\n"


def test_a_terminal_gets_a_moving_line(monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    terminal = Terminal()
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stderr", terminal)
    with progress.working("Comparing") as say:
        say("method [cleft]")
    assert "Comparing" in terminal.getvalue()
