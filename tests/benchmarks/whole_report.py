"""How long does the whole command take, from the shell, beside a process that only imports?"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from tests.benchmarks.big_season import write_season
from tests.benchmarks.timing import Took

DEMO = Path(__file__).resolve().parents[2] / "datasets_demo" / "quern_hollow"
#: What the bar lets a report take beyond a process that only imports the libraries.
ALLOWED = 6.0
LIBRARIES = ("pandas", "statsmodels", "seaborn", "pandera")
RUNS = 3
_NOTHING_COMPILED = "PYTHONDONTWRITEBYTECODE"


def importing() -> Took:
    """A process that imports the libraries and does nothing."""
    known = [name for name in LIBRARIES if importlib.util.find_spec(name) is not None]
    return _clocked([sys.executable, "-c", f"import {', '.join(known)}"])


def demo_report() -> Took:
    """The report of the demo's three seasons."""
    seasons = sorted(str(path) for path in DEMO.glob("season_*.csv"))
    return _report([*seasons, "--trial", str(DEMO / "trial.toml")])


def big_report() -> Took:
    """The report of a season of 25,000 grafts."""
    with tempfile.TemporaryDirectory() as folder:
        records, settings = write_season(Path(folder))
        return _report([str(records), "--trial", str(settings)])


def demo_order() -> Took:
    """The order of the demo's nursery, on its three seasons."""
    seasons = sorted(str(path) for path in DEMO.glob("season_*.csv"))
    return _command(["order", *seasons, "--trial", str(DEMO / "trial.toml")])


def a_plan() -> Took:
    """How many trays tell two takes apart, at tray correlations from low to high."""
    return _command(["trays", "tell-apart", "--takes", "80%", "90%", "--tray-size", "30"])


def _report(words: list[str]) -> Took:
    return _command(["report", *words])


def _command(words: list[str]) -> Took:
    with tempfile.TemporaryDirectory() as folder:
        return _clocked([sys.executable, "-m", "takestats", *words, "--out", folder])


def _clocked(command: list[str]) -> Took:
    """Whole processes by the clock: a report uses two cores where there are two.

    The first run, which is not counted, leaves our files compiled, as an installer leaves them
    and as those of the libraries are.
    """
    took = []
    told = {name: value for name, value in os.environ.items() if name != _NOTHING_COMPILED}
    for _ in range(RUNS + 1):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True, env=told)
        took.append(time.perf_counter() - start)
    middle = median(took[1:])
    return Took(RUNS, middle, min(took[1:]), middle)
