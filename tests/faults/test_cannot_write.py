"""A disk that is full, a folder that is closed, a file that is open: told in four parts, exit 1."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from takestats.cli.app import main
from takestats.pages.files import PASSING
from tests.faults.runs import OUT, Branch, found_in, lay_out

CHECK = ["check", "new.csv", "--on", "2026-07-01", "--out", OUT]


def hold_told(said: str) -> None:
    lines = said.strip().splitlines()
    assert "Traceback" not in said
    assert lines[-2].startswith("  Rule: ")
    assert lines[-1].startswith("  Next: ")


def test_files_that_may_not_grow_leave_the_old_output(tmp_path: Path) -> None:
    """The system's own limit of the size of a file stands in for a full disk: same refusal."""
    lay_out(tmp_path)
    old = [word.replace("new", "old") for word in CHECK]
    assert Branch(old, tmp_path).ended().code == 0
    before = found_in(tmp_path / OUT)
    ending = Branch(CHECK, tmp_path, most_bytes=3_000).ended()
    assert ending.code == 1
    hold_told(ending.complained)
    assert "cannot be written" in ending.complained
    assert found_in(tmp_path / OUT) == before
    assert not (tmp_path / OUT / PASSING).exists()
    fresh = [*CHECK[:-1], "fresh"]
    assert Branch(fresh, tmp_path, most_bytes=3_000).ended().code == 1
    assert not (tmp_path / "fresh").exists()


@pytest.mark.parametrize("command", ["check", "bench"])
def test_a_folder_where_nothing_may_be_made(
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    words = CHECK if command == "check" else ["bench", "trial.toml", "--out", OUT]

    def closed(self: Path, *_args: object, **_options: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "mkdir", closed)
    assert main(words) == 1
    hold_told(capsys.readouterr().err)
    assert not (tmp_path / OUT).exists()


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write everywhere")
def test_a_read_only_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / OUT).mkdir(mode=0o500)
    assert main(CHECK) == 1
    hold_told(capsys.readouterr().err)


def test_a_growers_own_file_in_the_way_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / OUT).mkdir()
    (tmp_path / OUT / "check.html").write_text("mine")
    assert main(CHECK) == 1
    said = capsys.readouterr().err
    hold_told(said)
    assert "A file of yours is never written over" in said
    assert (tmp_path / OUT / "check.html").read_text() == "mine"


def test_a_run_killed_by_another_signal_leaves_what_was_there(tmp_path: Path) -> None:
    lay_out(tmp_path)
    run = Branch(CHECK, tmp_path)
    os.kill(run.pid, signal.SIGTERM)
    assert run.ended().code in (-signal.SIGTERM, 0)
    left = found_in(tmp_path / OUT) if (tmp_path / OUT).exists() else {}
    assert not left or "check.html" in left
