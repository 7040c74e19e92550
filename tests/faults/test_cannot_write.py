"""A disk that is full, a folder that is closed, a file that is open: told in four parts, exit 1."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from takestats.cli.app import main
from takestats.pages.files import PASSING
from tests.faults.runs import OUT, Branch, found_in, lay_out, load_what_runs_need

CHECK = ["check", "new.csv", "--on", "2026-07-01", "--out", OUT]
ORDER = ["order", "--trial", "new.toml", "--out", OUT]
TRAYS = ["trays", "two-stage", "--floor", "70%", "--promising", "90%", "--tray-size", "12",
         "--out", OUT]  # fmt: skip
COMMANDS = {
    "check": CHECK,
    "bench": ["bench", "trial.toml", "--out", OUT],
    "order": ORDER,
    "trays": TRAYS,
}


@pytest.fixture(autouse=True, scope="module")
def loaded() -> None:
    load_what_runs_need()


def hold_told(said: str) -> None:
    lines = said.strip().splitlines()
    assert "Traceback" not in said
    assert lines[-2].startswith("  Rule: ")
    assert lines[-1].startswith("  Next: ")


@pytest.mark.parametrize("command", ["check", "order"])
def test_files_that_may_not_grow_leave_the_old_output(command: str, tmp_path: Path) -> None:
    """The system's own limit of the size of a file stands in for a full disk: same refusal."""
    lay_out(tmp_path)
    words = COMMANDS[command]
    old = [word.replace("new", "old") for word in words]
    assert Branch(old, tmp_path).ended().code == 0
    before = found_in(tmp_path / OUT)
    ending = Branch(words, tmp_path, most_bytes=3_000).ended()
    assert ending.code == 1
    hold_told(ending.complained)
    assert "cannot be written" in ending.complained
    assert "Free some space on this disk" in ending.complained
    assert found_in(tmp_path / OUT) == before
    assert not (tmp_path / OUT / PASSING).exists()


@pytest.mark.parametrize("command", COMMANDS)
def test_files_that_may_not_grow_leave_no_new_folder(command: str, tmp_path: Path) -> None:
    lay_out(tmp_path)
    ending = Branch(COMMANDS[command], tmp_path, most_bytes=3_000).ended()
    assert ending.code == 1
    hold_told(ending.complained)
    assert not (tmp_path / OUT).exists()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_folder_where_nothing_may_be_made(
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)

    def closed(self: Path, *_args: object, **_options: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "mkdir", closed)
    assert main(COMMANDS[command]) == 1
    hold_told(capsys.readouterr().err)
    assert not (tmp_path / OUT).exists()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_read_only_folder(command: str, tmp_path: Path) -> None:
    """The run belongs to a user without rights, for the superuser may write everywhere."""
    lay_out(tmp_path)
    tmp_path.chmod(0o755)
    (tmp_path / OUT).mkdir(mode=0o555)
    ending = Branch(COMMANDS[command], tmp_path, as_nobody=True).ended()
    assert ending.code == 1
    hold_told(ending.complained)
    assert list((tmp_path / OUT).iterdir()) == []


@pytest.mark.parametrize(("words", "name"), [(CHECK, "check.html"), (ORDER, "order.json")])
def test_a_growers_own_file_in_the_way_is_kept(
    words: list[str],
    name: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / OUT).mkdir()
    (tmp_path / OUT / name).write_text("mine")
    assert main(words) == 1
    said = capsys.readouterr().err
    hold_told(said)
    assert "A file of yours is never written over" in said
    assert found_in(tmp_path / OUT) == {name: b"mine"}


def test_a_run_killed_by_another_signal_leaves_what_was_there(tmp_path: Path) -> None:
    lay_out(tmp_path)
    run = Branch(CHECK, tmp_path)
    os.kill(run.pid, signal.SIGTERM)
    assert run.ended().code in (-signal.SIGTERM, 0)
    left = found_in(tmp_path / OUT) if (tmp_path / OUT).exists() else {}
    assert not left or "check.html" in left
