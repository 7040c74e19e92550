"""How is a part of the work done on the other core while this one goes on?"""

from __future__ import annotations

import os
import signal
import sys
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import current_process, get_context
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Answer = TypeVar("Answer")
Piece = TypeVar("Piece")

#: Set to 1 to work everything out one after the other.
ONE_AT_A_TIME = "TAKESTATS_ONE_AT_A_TIME"
#: Pieces that are worth another process.
FEW = 2
_WIDE = 2  # bytes of a ticket, which one process takes whole


def beside(task: Callable[[], Answer]) -> Callable[[], Answer]:
    """Begin a task now, on the other core, and get its answer later.

    The numbers do not depend on where they are worked out. Where there is no other core, or
    the system cannot split a process in two, the task runs when its answer is asked for.

    Parameters
    ----------
    task : callable
        Without arguments; its answer can be pickled, what it raises as well.

    Returns
    -------
    callable
        Waits for the answer; raises what the task raised.

    Examples
    --------
    >>> wait = beside(lambda: 6 * 7)
    >>> wait()
    42
    """
    if not two_cores() or current_process().daemon:
        return task
    context = get_context("fork")
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=_work, args=(task, there), daemon=True)
    with unheard(), warnings.catch_warnings():
        # The threads that newer Pythons warn of are those of the arithmetic library, which
        # knows how to be split.
        warnings.simplefilter("ignore", DeprecationWarning)
        process.start()
    there.close()

    def wait() -> Answer:
        try:
            raised, answer = here.recv()
        except EOFError:
            return task()  # the other process was killed: the answer is worked out here
        except BaseException:
            process.terminate()
            raise
        finally:
            here.close()
        process.join()
        if raised is not None:
            raise raised
        result: Answer = answer
        return result

    return wait


def shared_out(work: Callable[[Piece], Answer], pieces: Sequence[Piece]) -> list[Answer]:
    """Do several pieces of work on two cores, each taking the next when it is free.

    Parameters
    ----------
    work : callable
        Takes one piece; what it makes can be pickled.
    pieces : sequence

    Returns
    -------
    list
        What was made, in the order of the pieces, wherever it was made.

    Examples
    --------
    >>> shared_out(abs, [-1, 2, -3])
    [1, 2, 3]
    """
    if len(pieces) < FEW or not two_cores() or current_process().daemon:
        return [work(piece) for piece in pieces]
    take, put = os.pipe()
    os.write(put, b"".join(place.to_bytes(_WIDE, "big") for place in range(len(pieces))))
    os.close(put)

    def some() -> dict[int, Answer]:
        found = {}
        while ticket := os.read(take, _WIDE):
            place = int.from_bytes(ticket, "big")
            found[place] = work(pieces[place])
        return found

    try:
        waiting = beside(some)
        made = some()
        made |= waiting()
    finally:
        os.close(take)
    return [
        made[place] if place in made else work(piece)  # the other process was killed
        for place, piece in enumerate(pieces)
    ]


def two_cores() -> bool:
    """Whether a task can run on another core: there is one, and nobody forbade it."""
    if not sys.platform.startswith("linux") or os.environ.get(ONE_AT_A_TIME):
        return False
    return len(os.sched_getaffinity(0)) > 1


@contextmanager
def unheard() -> Iterator[None]:
    """Split off a process in here: a stop from the keyboard is for the first one alone.

    It reaches both; in the new one it would break in before it can be told to take no notice.
    The first one hears it as soon as the two have parted.
    """
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _work(task: Callable[[], object], there: Connection) -> None:
    """Run in the other process; say nothing, whatever happens.

    It leaves without the usual farewell: that would wait for a lock on the screen which a
    thread of the first process may have held when the two parted.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    code = 1
    try:
        try:
            told: tuple[BaseException | None, object] = (None, task())
        except Exception as error:
            told = (error, None)
        there.send(told)
        there.close()
        code = 0
    finally:
        os._exit(code)
