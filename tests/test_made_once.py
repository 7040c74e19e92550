"""Is what the processes of a run share made once, and is a failure told to all of them?"""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest

from tests.made_once import MadeOnce


def test_it_is_made_by_the_first_and_waited_for_by_the_others(tmp_path: Path) -> None:
    made: list[Path] = []
    got: list[object] = []

    def make(folder: Path) -> list[int]:
        time.sleep(0.3)
        made.append(folder)
        return [len(made)]

    waiting = [
        threading.Thread(target=lambda: got.append(MadeOnce(tmp_path)("dear", make)))
        for _ in range(3)
    ]
    for one in waiting:
        one.start()
    for one in waiting:
        one.join()
    assert made == [tmp_path / "dear"]
    assert got == [(tmp_path / "dear", [1])] * 3


def test_a_failure_is_told_to_all(tmp_path: Path) -> None:
    def fails(_: Path) -> None:
        raise ValueError("no chromium today")

    with pytest.raises(ValueError, match="no chromium today"):
        MadeOnce(tmp_path)("dear", fails)
    with pytest.raises(pytest.fail.Exception, match="dear was not made: ValueError: no chromium"):
        MadeOnce(tmp_path)("dear", fails)
