"""Which tests need another core and a system that can split a process in two?"""

from __future__ import annotations

import os
import signal
import sys
import time

import pytest

forks = pytest.mark.skipif(
    not sys.platform.startswith("linux") or len(os.sched_getaffinity(0)) < 2,
    reason="this machine has one core, or cannot split a process in two",
)


def stopped_as_they_part(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a stop from the keyboard reach every new process the moment it is there."""
    real = os.fork

    def fork() -> int:
        process = real()
        if process == 0:
            try:
                signal.signal(signal.SIGINT, signal.default_int_handler)
                os.kill(os.getpid(), signal.SIGINT)
                time.sleep(0.01)
            except KeyboardInterrupt:
                os._exit(1)
        return process

    monkeypatch.setattr(os, "fork", fork)
