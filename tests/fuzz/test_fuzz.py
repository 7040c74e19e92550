"""Some of the broken files; ``python -m tests.fuzz`` makes ten thousand."""

from __future__ import annotations

from pathlib import Path

import pytest

from takestats.records import read as read_module
from tests.fuzz import run as run_module
from tests.fuzz.page import page
from tests.fuzz.run import MOST_SECONDS, Tally, fuzz

FEW, MANY = 50, 10_000


def hold(tallies: dict[str, Tally]) -> None:
    for tally in tallies.values():
        assert tally.stumbles == []
        assert tally.hangs == []
        assert tally.silent == []
        assert tally.told == tally.planted


def test_fifty_broken_files_are_read_or_refused(tmp_path: Path) -> None:
    tallies = fuzz(range(FEW), 2, tmp_path)
    hold(tallies)
    assert sum(tally.files for tally in tallies.values()) == FEW
    assert tallies["planted"].planted > FEW // 4
    assert all(tally.read or tally.refused for tally in tallies.values())
    assert "tracebacks" in page(tallies, FEW, 2, MOST_SECONDS)


@pytest.mark.slow
def test_ten_thousand_broken_files_are_read_or_refused(tmp_path: Path) -> None:
    hold(fuzz(range(MANY), 1, tmp_path))


def test_a_stumble_a_hang_and_a_silence_would_be_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = read_module.read_records

    def broken(path: Path, **more: object) -> object:
        if str(path).endswith("xlsx"):
            raise KeyError("x")
        records = real(path, **more)  # type: ignore[arg-type]
        object.__setattr__(records, "problems", records.problems.iloc[:0])
        object.__setattr__(records, "changes", records.changes.iloc[:0])
        return records

    monkeypatch.setattr(run_module, "read_records", broken)
    tallies = fuzz(range(12), 2, tmp_path)
    assert any(tally.stumbles for tally in tallies.values())
    assert tallies["planted"].silent
    assert list((tmp_path / "kept").iterdir())

    def slow(_path: Path, **_more: object) -> object:
        while True:
            pass

    monkeypatch.setattr(run_module, "MOST_SECONDS", 0.05)
    monkeypatch.setattr(run_module, "read_records", slow)
    tallies = fuzz(range(2), 2, tmp_path)
    assert sum(len(tally.hangs) for tally in tallies.values()) == 2
