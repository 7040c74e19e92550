"""How does a long task show that it is alive? On stderr, so that answers stay clean."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

PATIENCE_SECONDS = 2.0


@contextmanager
def working(task: str) -> Iterator[Callable[[str], None]]:
    """Show progress while a task runs.

    A terminal gets one moving line that disappears at the end. A log file gets a
    plain line per step, and only once the task has taken two seconds.

    Parameters
    ----------
    task : str
        What is being done, such as ``"Making the season page"``.

    Yields
    ------
    callable
        Takes the name of the step that begins.
    """
    if sys.stderr.isatty():
        from rich.console import Console

        with Console(stderr=True).status(f"{task} ...") as status:
            yield lambda step: status.update(f"{task}: {_plain(step)} ...")
        return
    begun = time.monotonic()

    def say(step: str) -> None:
        if time.monotonic() - begun > PATIENCE_SECONDS:
            sys.stderr.write(f"{task}: {step} ...\n")
            sys.stderr.flush()

    yield say


def _plain(step: str) -> str:
    """Keep a cultivar name in brackets from being read as markup."""
    return step.replace("[", r"\[")
