"""How is a stop from the keyboard kept from falling between two files of one set?"""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


@contextmanager
def no_stop_half_way() -> Iterator[Callable[[], None]]:
    """Hold the first stop back until the work inside is done; a second one is heard at once.

    Yields
    ------
    callable
        Raises KeyboardInterrupt where a stop waits; to be called where stopping does no harm.
    """
    waiting = False

    def heard(_signal: int, _frame: FrameType | None) -> None:
        nonlocal waiting
        if waiting:
            raise KeyboardInterrupt
        waiting = True

    def go_on() -> None:
        if waiting:
            raise KeyboardInterrupt

    listens = signal.getsignal(signal.SIGINT)
    if threading.current_thread() is not threading.main_thread() or not callable(listens):
        yield go_on  # stops are heard by the main thread only, or not at all
        return
    signal.signal(signal.SIGINT, heard)
    try:
        yield go_on
    finally:
        signal.signal(signal.SIGINT, listens)
    go_on()
