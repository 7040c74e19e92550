"""Runs of the command line in a process of their own, that can be ended at any moment."""

from __future__ import annotations

import contextlib
import io
import os
import resource
import signal
import subprocess
import sys
import time
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from takestats.cli.app import main
from takestats.cli.begin import STOPPED, say_stopped
from takestats.models.side_by_side import ONE_AT_A_TIME
from takestats.pages.files import PASSING

ROOT = Path(__file__).parents[2]
OUT = "out"
NOBODY = 65534
"""A user who owns nothing, by a convention of Unix systems."""
READY = "ready"
_RUN = (
    # A shell that starts the tests beside other work lets them hear no stop; a grower's does.
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    f"import takestats.cli.begin as b; print({READY!r}, flush=True); b.begin()"
)

TAKEN = {
    "old": [26, 28, 19, 27, 27, 29, 22, 26, 28, 30, 15, 27],
    "new": [20, 22, 13, 21, 30, 23, 16, 20, 22, 24, 9, 21],
}
SETTINGS = """title = "Cleft or side veneer"
invented = true
seed = 7
[trial]
randomised = "tray"
[bench]
treatments = { method = ["cleft", "side veneer"] }
trays_each = 4
tray_size = 20
seed = 7
"""


ORDER_SETTINGS = """title = "Moth and lamp"
invented = true
seed = 7
[names]
moth = "Hamamelis x intermedia 'Copper Moth'"
lamp = "Hamamelis x intermedia 'Last Lamp'"
virginiana = "Hamamelis virginiana"
[targets]
"moth on virginiana" = 200
"lamp on virginiana" = 150
"""
TYPED_SETTINGS = """title = "Two birches"
[targets]
"Betula nigra on Betula pendula" = "{wanted}, poor 40%, usual 60%, good 80%"
"""


def records_text(which: str) -> str:
    """Invented records of one season; the old ones have a column more, and two trays less."""
    more = which == "old"
    lines = ["season,tray,method,grafted,taken,count_date" + (",scion_wood" if more else "")]
    for i, taken in enumerate(TAKEN[which][: 10 if more else 12], start=1):
        method = "cleft" if i % 2 else "side veneer"
        wood = (",terminal" if i % 3 else ",basal") if more else ""
        lines.append(f"2026,T{i:02d},{method},30,{taken},2026-06-15{wood}")
    return "\n".join(lines) + "\n"


def combinations_text(which: str) -> str:
    """Invented records to order from: two seasons before the last count, three after it."""
    lines = ["season,tray,scion,understock,grafted,taken,count_date"]
    for season in (2024, 2025) if which == "old" else (2024, 2025, 2026):
        for i, taken in enumerate(TAKEN[which], start=1):
            scion = "moth" if i % 2 else "lamp"
            lines.append(f"{season},T{i:02d},{scion},virginiana,30,{taken},{season}-06-15")
    return "\n".join(lines) + "\n"


def lay_out(folder: Path) -> None:
    """Record files old and new, those to order from, and settings of a trial and of orders."""
    for which, wanted in zip(TAKEN, (100, 140), strict=True):
        (folder / f"{which}.toml").write_text(TYPED_SETTINGS.format(wanted=wanted), "utf-8")
        (folder / f"{which}.csv").write_text(records_text(which), "utf-8")
        (folder / f"{which}_seasons.csv").write_text(combinations_text(which), "utf-8")
    (folder / "trial.toml").write_text(SETTINGS, "utf-8")
    (folder / "order.toml").write_text(ORDER_SETTINGS, "utf-8")


def found_in(folder: Path) -> dict[str, bytes]:
    """All files that a reader sees in a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not any(p.startswith(".") for p in path.relative_to(folder).parts)
    }


@dataclass
class Ended:
    """How a run ended: its exit code (below zero: by a signal), and what stood on stderr."""

    code: int
    complained: str


class Run:
    """A run in a process of its own, begun when this returns."""

    def __init__(self, words: Sequence[str], folder: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", _RUN, *words],
            cwd=folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
            env={  # on both cores, as a grower runs it
                **{name: told for name, told in os.environ.items() if name != ONE_AT_A_TIME},
                "PYTHONPATH": str(ROOT),
                "OPENBLAS_NUM_THREADS": "1",
            },
        )
        assert self.process.stdout is not None
        assert self.process.stdout.readline().strip() == READY
        self.pid = self.process.pid

    def goes_on(self) -> bool:
        """Whether it has not ended yet."""
        return self.process.poll() is None

    def ended(self) -> Ended:
        """Wait for its end."""
        _, complained = self.process.communicate(timeout=120)
        return Ended(self.process.returncode, complained)


def _heard(words: Sequence[str]) -> int:
    """Run a command, a stop being heard from here to its end, as ``takestats.cli.begin`` does."""
    try:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
        code = main(words)
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    except KeyboardInterrupt:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        say_stopped()
        return STOPPED
    return code


class Branch:
    """The same run in a branch of this process: what is loaded here need not be loaded again."""

    def __init__(
        self,
        words: Sequence[str],
        folder: Path,
        *,
        most_bytes: int | None = None,
        as_nobody: bool = False,
    ) -> None:
        self.most_bytes, self.as_nobody = most_bytes, as_nobody
        self.errors = folder / "stderr.txt"
        signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})  # until the run can hear it
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # threads of the arithmetic library
            self.pid = os.fork()
        if self.pid == 0:
            self._work(words, folder)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
        self.status: int | None = None

    def _work(self, words: Sequence[str], folder: Path) -> NoReturn:
        code = 1
        try:
            os.setsid()
            os.chdir(folder)
            if self.most_bytes is not None:  # no file may grow beyond this
                resource.setrlimit(resource.RLIMIT_FSIZE, (self.most_bytes, self.most_bytes))
            with (
                self.errors.open("w") as errors,
                contextlib.redirect_stderr(errors),
                contextlib.redirect_stdout(io.StringIO()),
            ):
                if self.as_nobody and os.geteuid() == 0:  # the superuser may write everywhere
                    os.setgroups([])
                    os.setgid(NOBODY)
                    os.setuid(NOBODY)
                code = _heard(words)
        finally:
            os._exit(code)

    def goes_on(self) -> bool:
        """Whether it has not ended yet."""
        if self.status is None:
            done, status = os.waitpid(self.pid, os.WNOHANG)
            self.status = os.waitstatus_to_exitcode(status) if done else None
        return self.status is None

    def ended(self) -> Ended:
        """Wait for its end."""
        if self.status is None:
            self.status = os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
        return Ended(self.status, self.errors.read_text() if self.errors.exists() else "")


def load_what_runs_need() -> None:
    """Load here what every branch would otherwise load again for itself."""
    from takestats.charts.loaded import load_drawing

    for name in ("bench_asked", "bench_papers", "check_page", "order_page", "plan_page"):
        import_module(f"takestats.pages.{name}")
    for name in ("order.understock_order", "planning.stage_plans", "records.read"):
        import_module(f"takestats.{name}")
    load_drawing()


Start = type[Run] | type[Branch]


def signalled(
    start: Start,
    words: Sequence[str],
    folder: Path,
    *,
    sign: signal.Signals,
    after: float,
    late: bool,
) -> Ended:
    """Send a signal to a run and all that it started.

    ``after`` seconds from its beginning; with ``late`` from the moment when it begins to write.
    """
    run = start(words, folder)
    if late:
        while run.goes_on() and not (folder / OUT / PASSING).is_dir():
            time.sleep(0.0002)
    time.sleep(after)
    if run.goes_on():
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.killpg(run.pid, sign)
    return run.ended()
