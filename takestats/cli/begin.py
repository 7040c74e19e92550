"""How does a run begin, so that a stop from the keyboard is a sentence from the first moment?

The commands are loaded inside, where a stop is heard; this file loads next to nothing.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from sys import UnraisableHookArgs

#: Things made between two looks for what can be thrown away, 700 by default. A run is short;
#: looking took .4 to .5 of the 10 s of processor time of a season report, and saved no memory.
_LOOK_AFTER = 100_000
STOPPED = 130  # the usual code of a run stopped from the keyboard


def begin() -> NoReturn:
    """Run the command line and leave with its exit code: 130 after a stop."""
    sys.unraisablehook = _unheard
    gc.set_threshold(_LOOK_AFTER)
    try:
        from takestats.cli.app import run

        try:
            run()
        finally:
            _deaf()
    except KeyboardInterrupt:
        _deaf()
        say_stopped()
        sys.exit(STOPPED)


def _deaf() -> None:
    """From here on all is said and done; a stop that comes now changes nothing."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _unheard(met: UnraisableHookArgs) -> None:
    """A stop that fell where nothing can hear it, as when a thing is thrown away, still stops."""
    if met.exc_type is not None and issubclass(met.exc_type, KeyboardInterrupt):
        os.kill(os.getpid(), signal.SIGINT)
        return
    sys.__unraisablehook__(met)


def say_stopped() -> None:
    """Tell on stderr that the run was stopped."""
    sys.stderr.write("\nStopped. No half-written file was left behind.\n")
    sys.stderr.flush()
