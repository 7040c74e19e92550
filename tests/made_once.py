"""How do the processes of one run of pytest share what is dear to make?

The first that needs it makes it in a folder they all see; the others wait for what it wrote down.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

WAIT_SECONDS = 600

Make = Callable[[Path], Any]
"""Makes something in a folder of its own, and gives what JSON can hold of it."""


class MadeOnce:
    """What was made in this run, by whichever process; ``shared`` is a folder that all see."""

    def __init__(self, shared: Path) -> None:
        self.shared = shared

    def __call__(self, name: str, make: Make) -> tuple[Path, Any]:
        """The folder of this name and what its making gave, made unless another did or does."""
        folder, told = self.shared / name, self.shared / f"{name}.json"
        try:
            folder.mkdir()
        except FileExistsError:
            until = time.monotonic() + WAIT_SECONDS
            while not told.exists():
                assert time.monotonic() < until, f"the other process made no {name}"
                time.sleep(0.1)
        else:
            _tell(told, folder, make)
        given = json.loads(told.read_text("utf-8"))
        if "failed" in given:
            pytest.fail(f"{name} was not made: {given['failed']}")
        return folder, given["made"]


def _tell(told: Path, folder: Path, make: Make) -> None:
    given: dict[str, Any] = {"failed": "the process ended"}
    try:
        given = {"made": make(folder)}
    except BaseException as fault:
        given = {"failed": f"{type(fault).__name__}: {fault}"}
        raise
    finally:
        passing = told.with_suffix(".part")
        passing.write_text(json.dumps(given), encoding="utf-8")
        passing.rename(told)
