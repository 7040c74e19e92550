"""How is a process kept ready that takes on work while this one goes on?"""

from __future__ import annotations

import os
import queue
import signal
import threading
from collections.abc import Callable
from multiprocessing import Pipe, current_process
from pickle import PicklingError
from typing import TYPE_CHECKING, Any

from takestats.models.side_by_side import shared_out, two_cores, unheard

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Work = Callable[[Any], Any]
_HAND_OVER = None


class StandingBy:
    """A process that does one kind of work, piece after piece, and keeps what it made.

    Parameters
    ----------
    ready : callable
        Run over there at once, as loading libraries; gives the work, which takes one piece
        and returns what was made of it. When the pieces are asked for, those not yet begun
        are shared out between both cores.
    """

    def __init__(self, ready: Callable[[], Work]) -> None:
        self._line: Connection | None = None
        if not two_cores() or current_process().daemon:
            return
        here, there = Pipe()
        with unheard():
            process = os.fork()
            if process == 0:
                here.close()
                _stand_by(ready, there)
        there.close()
        self._process, self._line = process, here

    def give(self, piece: object) -> bool:
        """Hand over a piece; False where nobody stands by, or the piece cannot be sent."""
        if self._line is None:
            return False
        try:
            self._line.send(piece)
        except OSError:  # killed
            self.leave()
            return False
        except (AttributeError, TypeError, PicklingError):
            return False
        return True

    def made(self) -> list[Any] | None:
        """Everything that was made, in the order given, and let the process go.

        None where nobody stands by, it was killed, or a piece could not be made over there:
        then the work is for this process.
        """
        if self._line is None:
            return None
        answer: list[Any] | None = None
        try:
            self._line.send(_HAND_OVER)
            answer = self._line.recv()
        except (OSError, EOFError):  # killed
            answer = None
        self.leave()
        return answer

    def leave(self) -> None:
        """Let the process go."""
        if self._line is None:
            return
        self._line.close()
        self._line = None
        os.waitpid(self._process, 0)


def _stand_by(ready: Callable[[], Work], line: Connection) -> None:
    """Run in the other process until it is let go; say nothing, whatever happens."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    code = 1
    try:
        waiting: queue.SimpleQueue[Any] = queue.SimpleQueue()
        threading.Thread(target=_listen, args=(line, waiting), daemon=True).start()
        _work_off(ready(), waiting, line)
        code = 0
    finally:
        os._exit(code)


def _listen(line: Connection, waiting: queue.SimpleQueue[Any]) -> None:
    """Take pieces off the line at once, so that who gives them never waits."""
    while True:
        try:
            waiting.put(line.recv())
        except (EOFError, OSError):
            os._exit(0)  # let go


def _work_off(work: Work, waiting: queue.SimpleQueue[Any], line: Connection) -> None:
    """Make piece after piece; once they are asked for, which is said last, share out the rest."""
    made: list[Any] = []
    todo: list[Any] = []
    while True:
        while not todo or not waiting.empty():
            todo.append(waiting.get())
        if todo[-1] is _HAND_OVER:
            line.send(made + shared_out(work, todo[:-1]))
            return
        made.append(work(todo.pop(0)))
