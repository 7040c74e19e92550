"""The times as a table to open elsewhere and a page to read."""

from __future__ import annotations

import math
import os
import platform
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

import pandas as pd

from tests.benchmarks.measures import Speed
from tests.benchmarks.speed_chart import speed_chart
from tests.calibration.pieces import write_whole


def seconds(value: float) -> str:
    """A time with two or three digits: ``12 ms``, ``1.4 s``, ``0.046 ms``."""
    if math.isnan(value):
        return "not recorded"
    if value >= 1.0:
        return f"{value:.1f} s"
    thousandths = value * 1000.0
    return f"{thousandths:.0f} ms" if thousandths >= 10.0 else f"{thousandths:.2g} ms"


def ratio(ours: float, theirs: float) -> str:
    """How many times faster or slower we were."""
    times = theirs / ours
    if times >= 1.0:
        return f"{times:.{0 if times >= 10 else 1}f} times faster"
    return f"{1 / times:.{0 if 1 / times >= 10 else 1}f} times slower"


def _verdict(speed: Speed) -> str:
    if math.isnan(speed.bar):
        return "no bar"
    return "met" if speed.met else "**not met**"


def _bar(speed: Speed) -> str:
    return "none" if math.isnan(speed.bar) else seconds(speed.bar)


def row_words(speed: Speed) -> str:
    """One thing timed, on a line."""
    words = f"{speed.what}: {seconds(speed.took.processor)}"
    if not math.isnan(speed.bar):
        words += f" (bar {seconds(speed.bar)}, {'met' if speed.met else 'NOT MET'})"
    if not math.isnan(speed.memory):
        words += f"; most memory {speed.memory:.2f} GB"
    for peer in speed.peers:
        words += f"; {peer.name} {seconds(peer.took.processor)}"
    return words


def table_of(speeds: Sequence[Speed]) -> pd.DataFrame:
    """One row per thing timed and peer."""
    rows = []
    for speed in speeds:
        mine = {
            "what": speed.what,
            "bar_seconds": speed.bar,
            "met": speed.met,
            "runs": speed.took.runs,
            "middle_seconds": speed.took.middle,
            "least_seconds": speed.took.least,
            "processor_seconds": speed.took.processor,
            "memory_gb": speed.memory,
        }
        for peer in speed.peers or (None,):
            row = dict(mine)
            if peer is not None:
                row |= {
                    "peer": peer.name,
                    "peer_gives": peer.gives,
                    "peer_runs": peer.took.runs,
                    "peer_middle_seconds": peer.took.middle,
                    "peer_processor_seconds": peer.took.processor,
                    "peer_over_ours": peer.took.processor / speed.took.processor,
                }
            rows.append(row)
    return pd.DataFrame(rows)


def words(speeds: Sequence[Speed], load: Sequence[float]) -> str:
    """The page, as Markdown."""
    promised = [speed for speed in speeds if not math.isnan(speed.bar)]
    count = f"{sum(speed.met for speed in promised)} of {len(promised)} bars are met."
    cores = os.cpu_count()
    lines = [
        "# How long does an answer take?",
        "",
        "Invented trays with fixed seeds; each call once to warm up, then timed several times; "
        "the middle run is shown. One core, one thread; a whole process "
        "uses both cores and is told by the clock. A bar is judged by processor time, which "
        "other work on the machine disturbs least; on a quiet machine the clock says the same. "
        "The "
        "bar of a report is the time of a process that only imports the libraries, in the same "
        "run, plus 6 s. Remade by `python -m tests.benchmarks`; every number stands in "
        "`speed.csv`.",
        "",
        f"Python {platform.python_version()}, numpy {version('numpy')}, scipy {version('scipy')}; "
        f"{platform.machine()}, {cores} cores. Load average during the run: "
        f"{min(load):.1f} to {max(load):.1f}"
        + (
            " (other work was running on the same cores: the clock ran ahead of the processor)."
            if max(load) > 1.5
            else "."
        ),
        "",
        count,
        "",
        "![Seconds of each answer, its bar and its peers](speed.svg)",
        "",
        "| what | bar | processor | clock | | most memory |",
        "|---|---|---|---|---|---|",
    ]
    for speed in speeds:
        memory = "" if math.isnan(speed.memory) else f"{speed.memory:.2f} GB (bar 1 GB)"
        lines.append(
            f"| {speed.what} | {_bar(speed)} | {seconds(speed.took.processor)} "
            f"| {seconds(speed.took.middle)} | {_verdict(speed)} | {memory} |"
        )
    lines += [
        "",
        "## Beside others, same trays, same run (processor time)",
        "",
        "The others fit one model and give coefficients on the log odds scale. None of them "
        "gives limits for the take of a method in a new tray, or for a difference of two takes. "
        "So the times are not for the same answer.",
        "",
        "| what | ours | peer | peer took | ours is | the peer gives |",
        "|---|---|---|---|---|---|",
    ]
    for speed in speeds:
        for peer in speed.peers:
            lines.append(
                f"| {speed.what} | {seconds(speed.took.processor)} | {peer.name} "
                f"| {seconds(peer.took.processor)} "
                f"| {ratio(speed.took.processor, peer.took.processor)} "
                f"| {peer.gives} |"
            )
    named = {peer.name.split()[0] for speed in speeds for peer in speed.peers}
    if "lme4" not in named:
        lines += ["", "R with lme4 was not installed where this was run: no times beside it."]
    return "\n".join(lines) + "\n"


def write_reports(folder: Path, speeds: Sequence[Speed], load: Sequence[float]) -> list[Path]:
    """Write the table and the page; give the paths."""
    made = [folder / name for name in ("speed.csv", "speed.md", "speed.svg")]
    write_whole(
        made[0], table_of(speeds).to_csv(index=False, float_format="%.4g", lineterminator="\n")
    )
    write_whole(made[1], words(speeds, load))
    write_whole(made[2], speed_chart(speeds))
    return made
