"""One part of the cost curve, in a process of its own: make a file, time it, or weigh it.

    python -m tests.benchmarks.scale_run make FOLDER ROWS
    python -m tests.benchmarks.scale_run time FOLDER ROWS RUNS
    python -m tests.benchmarks.scale_run weigh FOLDER csv|parquet|shuffled|frame

What is found is printed as JSON.
"""

from __future__ import annotations

import json
import os
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.csv
import pyarrow.parquet

SEED = 10_000_000
TRAY_SIZE = 50
TAKES = {"cleft": (17.0, 3.0), "side veneer": (16.0, 4.0)}
"""Shapes of the beta distribution that each method's trays are drawn from: 85 and 80 %."""
FILES = {"csv": "grafts.csv", "parquet": "grafts.parquet", "shuffled": "shuffled.csv"}


def make(folder: Path, rows: int) -> dict[str, int]:
    """Write the invented grafts, tray by tray and in no order; every tray holds 50."""
    rng = np.random.default_rng(SEED)
    trays = rows // TRAY_SIZE
    method = np.arange(trays) % 2
    shapes = np.array(list(TAKES.values()))[method]
    share = rng.beta(shapes[:, 0], shapes[:, 1])
    tray = pa.array(np.repeat(np.arange(trays), TRAY_SIZE))
    table = pa.table(
        {
            "tray": pa.array([f"T{i:06d}" for i in range(trays)]).take(tray),
            "graft": np.tile(np.arange(1, TRAY_SIZE + 1), trays),
            "method": pa.array(np.array(list(TAKES))[method]).take(tray),
            "taken": (rng.random(rows) < np.repeat(share, TRAY_SIZE)).astype(np.int64),
        }
    )
    plain = pyarrow.csv.WriteOptions(quoting_style="none")
    pyarrow.csv.write_csv(table, folder / FILES["csv"], plain)
    pyarrow.parquet.write_table(table, folder / FILES["parquet"])
    table = table.take(pa.array(rng.permutation(rows)))
    pyarrow.csv.write_csv(table, folder / FILES["shuffled"], plain)
    return {"rows": rows, "trays": trays}


def _ours(path: Path) -> float:
    import takestats as ts

    return ts.fit_take(ts.read_records(path), ["method"]).grafts


def _fit_alone(path: Path) -> Callable[[], object]:
    import takestats as ts

    records = ts.read_records(path)
    return lambda: ts.fit_take(records, ["method"])


def _regression(path: Path) -> Callable[[], object]:
    """Binomial regression with a logit link on the raw rows, every graft for itself."""
    import statsmodels.api as sm

    frame = pd.read_csv(path, engine="pyarrow")

    def fit() -> object:
        level = (frame["method"] == "side veneer").to_numpy(dtype=float)
        matrix = np.column_stack([np.ones(len(frame)), level])
        family = sm.families.Binomial()
        return sm.GLM(frame["taken"].to_numpy(dtype=float), matrix, family=family).fit().params

    return fit


def timed(folder: Path, rows: int, runs: int) -> dict[str, float]:
    """Seconds of each thing by the clock and of the processor: once to warm up, the middle of more.

    All are run in turn, so that a busy spell of the machine falls on all of them.
    """
    csv = folder / FILES["csv"]
    calls: dict[str, Callable[[], object]] = {
        "frame": lambda: pd.read_csv(csv, engine="pyarrow"),
        **{kind: (lambda path=folder / name: _ours(path)) for kind, name in FILES.items()},
        "fit": _fit_alone(csv),
    }
    clock: dict[str, list[float]] = {name: [] for name in calls}
    busy: dict[str, list[float]] = {name: [] for name in calls}
    for turn in range(runs + 1):
        for name, call in calls.items():
            start, used = time.perf_counter(), time.process_time()
            call()
            if turn:
                clock[name].append(time.perf_counter() - start)
                busy[name].append(time.process_time() - used)
    fit = _regression(csv)
    start, used = time.perf_counter(), time.process_time()
    fit()
    clock["glm"], busy["glm"] = [time.perf_counter() - start], [time.process_time() - used]
    frame = pd.read_csv(csv, engine="pyarrow")
    found = {f"{name}_seconds": median(values) for name, values in clock.items()}
    found |= {f"{name}_processor": median(values) for name, values in busy.items()}
    return {"rows": rows, **found, "frame_mb": frame.memory_usage(deep=True).sum() / 1e6}


def weighed(folder: Path, kind: str) -> dict[str, float]:
    """Most memory of this process, in MB, once it has read (and fitted)."""
    if kind == "frame":
        pd.read_csv(folder / FILES["csv"], engine="pyarrow")
    else:
        _ours(folder / FILES[kind])
    unit = 1.0 if sys.platform == "darwin" else 1024.0
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit / 1e6
    return {f"{kind}_peak_mb": most}


if __name__ == "__main__":
    pa.set_cpu_count(os.cpu_count() or 1)  # whatever the linear algebra is held to
    what, where = sys.argv[1], Path(sys.argv[2])
    if what == "make":
        told: object = make(where, int(sys.argv[3]))
    elif what == "time":
        told = timed(where, int(sys.argv[3]), int(sys.argv[4]))
    else:
        told = weighed(where, sys.argv[3])
    sys.stdout.write(json.dumps(told) + "\n")
