"""What does a fit cost from ten thousand single grafts to ten million?"""

from __future__ import annotations

import io
import json
import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Any

import pandas as pd

from tests.calibration.pieces import write_whole

ROWS = (10_000, 30_000, 100_000, 300_000, 1_000_000, 3_000_000, 10_000_000)
RUNS = 3
WALL, MEMORY, TIMES = 2.0, 2.0, 20.0
"""The bars at ten million rows: times the frame's seconds, times its size, times faster."""


def _part(*words: object) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.benchmarks.scale_run", *map(str, words)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def measured(rows: Sequence[int], tell: Callable[[str], None]) -> pd.DataFrame:
    """One row for each size; every part in a process of its own."""
    lines = []
    for size in rows:
        with tempfile.TemporaryDirectory() as folder:
            line = _part("make", folder, size)
            load = os.getloadavg()[0]
            for kind in ("frame", "csv", "parquet", "shuffled"):
                line |= _part("weigh", folder, kind)
            line |= _part("time", folder, size, RUNS) | {"load": load}
        lines.append(line)
        tell(
            f"{size:,} rows: read and fitted in {line['csv_seconds']:.2f} s, the frame in "
            f"{line['frame_seconds']:.2f} s, regression in {line['glm_seconds']:.1f} s; "
            f"{line['csv_peak_mb']:.0f} MB, the frame holds {line['frame_mb']:.0f} MB"
        )
    return pd.DataFrame(lines)


def bars(line: pd.Series[Any]) -> list[tuple[str, float, float, bool]]:
    """What was promised for the largest file: words, found, promised, met."""
    out = []
    for kind in ("csv", "parquet"):
        ratio = line[f"{kind}_seconds"] / line["frame_seconds"]
        out.append((f"{kind}: seconds, times those of the frame", ratio, WALL, ratio <= WALL))
    for kind in ("csv", "parquet"):
        ratio = line[f"{kind}_peak_mb"] / line["frame_mb"]
        out.append((f"{kind}: most memory, times the frame", ratio, MEMORY, ratio <= MEMORY))
    ratio = line["glm_seconds"] / line["fit_seconds"]
    out.append(("fit: times faster than the regression", ratio, TIMES, ratio >= TIMES))
    whole = (line["frame_seconds"] + line["glm_seconds"]) / line["csv_seconds"]
    out.append(("csv to fit: times faster than frame and regression", whole, TIMES, whole >= TIMES))
    return out


def words(table: pd.DataFrame) -> str:
    """The page, as Markdown."""
    last = table.iloc[-1]
    lines = [
        "# What does a fit cost, from ten thousand grafts to ten million?",
        "",
        "Invented grafts, one row each, 50 to a tray, two methods (`tests/benchmarks/"
        "scale_run.py`, fixed seed), columns tray, graft, method, taken. `read_records` then "
        '`fit_take(records, ["method"])`, beside `pandas.read_csv(path, engine="pyarrow")` on the '
        "same csv file in the same process: each once to warm up, then all in turn, the middle of "
        f"{RUNS}. The regression (statsmodels GLM, binomial, logit, on the raw rows of the frame, "
        "run once) takes grafts as independent, so its limits are not for the same question. "
        "Memory is the most a fresh process held, all libraries in. Remade by "
        "`python -m tests.benchmarks --what scale`.",
        "",
        f"Python {platform.python_version()}, pandas {version('pandas')}, "
        f"pyarrow {version('pyarrow')}, statsmodels {version('statsmodels')}; "
        f"{platform.machine()}, {os.cpu_count()} cores. Load average at the start of each size: "
        f"{table['load'].min():.1f} to {table['load'].max():.1f}"
        + (" (other work was running on the same cores)." if table["load"].max() > 1.5 else "."),
        "",
        f"## The bars, at {last['rows']:,.0f} rows in {last['trays']:,.0f} trays",
        "",
        "| what | found | bar | |",
        "|---|---|---|---|",
    ]
    for what, found, promised, met in bars(last):
        lines.append(
            f"| {what} | {found:.2g} | {promised:g} | {'met' if met else '**not met**'} |"
            if found < 10
            else f"| {what} | {found:.0f} | {promised:g} | {'met' if met else '**not met**'} |"
        )
    lines += [
        "",
        "## Seconds by the clock (processor seconds in brackets)",
        "",
        "| rows | frame read | csv, read and fitted | the fit alone | parquet | csv in no order "
        "| regression |",
        "|---|---|---|---|---|---|---|",
    ]
    names = ("frame", "csv", "fit", "parquet", "shuffled", "glm")
    for _, line in table.iterrows():
        cells = [f"{line[f'{n}_seconds']:.2f} ({line[f'{n}_processor']:.2f})" for n in names]
        lines.append(f"| {line['rows']:,.0f} | {' | '.join(cells)} |")
    lines += [
        "",
        "## Most memory of a process, MB",
        "",
        "| rows | the frame holds | reading the frame | csv | parquet | csv in no order |",
        "|---|---|---|---|---|---|",
    ]
    for _, line in table.iterrows():
        kinds = ("frame", "csv", "parquet", "shuffled")
        peaks = [f"{line[f'{kind}_peak_mb']:.0f}" for kind in kinds]
        lines.append(f"| {line['rows']:,.0f} | {line['frame_mb']:.0f} | {' | '.join(peaks)} |")
    lines += [
        "",
        "![Seconds by rows](scale.svg)",
        "",
        "Small files (under 1 MB of text, under 50,000 rows of parquet) are read row by row, so "
        "that every graft stands in the table of rows: hence the hump before the curve falls. A "
        "file with anything to ask about is read row by row at any size: a million rows took 9.5 "
        "seconds of the processor and 1 GB.",
    ]
    return "\n".join(lines) + "\n"


def chart(table: pd.DataFrame) -> str:
    """Seconds by rows, both on scales of tens, as SVG text; labels stand at the lines' ends."""
    import matplotlib

    matplotlib.use("svg")
    from matplotlib.figure import Figure

    ink, grey = "#4a6a78", "#666666"
    shown = {
        "csv": ("csv, read and fitted", "o", "-", ink),
        "parquet": ("parquet, read and fitted", "s", "-", ink),
        "frame": ("csv to a frame (pandas)", "^", "--", grey),
        "glm": ("regression of the frame (GLM)", "D", ":", grey),
    }
    with matplotlib.rc_context({"svg.hashsalt": "takestats", "svg.fonttype": "none"}):
        figure = Figure(figsize=(8.0, 4.6), layout="constrained")
        axes = figure.subplots()
        for kind, (label, mark, line, colour) in shown.items():
            values = table[f"{kind}_seconds"]
            axes.plot(
                table["rows"], values, line, color=colour, marker=mark, markersize=5, label=label
            )
        axes.set_xscale("log")
        axes.set_yscale("log")
        axes.set_xlabel("rows of the file, one for each graft")
        axes.set_ylabel("seconds by the clock")
        axes.spines[["top", "right"]].set_visible(False)
        axes.legend(frameon=False, fontsize=9, loc="upper left")
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


def write_scale(
    folder: Path, tell: Callable[[str], None], rows: Sequence[int] = ROWS
) -> list[Path]:
    """Measure and write the table, the page and the chart; give the paths."""
    table = measured(rows, tell)
    made = [folder / name for name in ("scale.csv", "scale.md", "scale.svg")]
    write_whole(made[0], table.to_csv(index=False, float_format="%.4g", lineterminator="\n"))
    write_whole(made[1], words(table))
    write_whole(made[2], chart(table))
    for what, found, promised, met in bars(table.iloc[-1]):
        tell(f"{what}: {found:.3g} (bar {promised:g}, {'met' if met else 'NOT MET'})")
    return made
