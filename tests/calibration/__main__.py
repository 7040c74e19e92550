"""Do the limits hold what they promise? Simulate, count, and write the page.

    python -m tests.calibration [--row grid ...] [--trials N] [--seed 1 2 3] [--jobs 2]

Long runs may be stopped at any time: every finished piece is a small file in
the work folder, and the next run goes on from there. The reports are written
from all pieces at hand, and say which settings were not run.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

import pandas as pd
from rich.console import Console

from tests.calibration import bars
from tests.calibration.blocks import block_bars
from tests.calibration.grouping import grouping_bars
from tests.calibration.new_season import new_season_bars, pooled_season_bars
from tests.calibration.order_met import order_bars, pooled_order_bars
from tests.calibration.page import write_reports
from tests.calibration.pieces import ROOT
from tests.calibration.planning import planning_bars
from tests.calibration.rows import ROWS, kept_row, run_again, run_floored, run_row
from tests.calibration.several_rows import rows_bars

SEEDS = (1, 2, 3)
_FLOORS = {
    "unequal": ("Unequal spread: takes and difference in every setting", 0.91),
    "two-trays": ("Two trays an arm: takes and difference in every setting", 0.905),
}


def verdicts_of(frames: dict[str, pd.DataFrame], again: pd.DataFrame | None) -> list[bars.Verdict]:
    """Every promise of the rows at hand beside what was measured."""
    found: list[bars.Verdict] = []
    for name, frame in frames.items():
        if name == "grid":
            seeds = [part for _, part in frame.groupby("seed")]
            found += bars.grid_bars(seeds, again)
            if len(seeds) > 1:
                found.append(bars.ceiling_of_all(seeds))
        elif name == "widths":
            found += bars.width_bars(frame)
        elif name == "fit-take":
            found += bars.fit_take_bars(frame)
        elif name == "regression":
            found += bars.regression_bars(frame)
        elif name == "blocks":
            found += block_bars(frame)
        elif name == "several-rows":
            found += rows_bars(frame)
        elif name == "grouping":
            found += grouping_bars(frame)
        elif name == "new-season":
            found += new_season_bars(frame)
        elif name == "pooled-season":
            found += pooled_season_bars(frame)
        elif name == "order":
            found += order_bars(frame)
        elif name == "pooled-order":
            found += pooled_order_bars(frame)
        elif name == "planning":
            found += planning_bars(frame)
        elif name in _FLOORS:
            words, bar = _FLOORS[name]
            found += bars.floor_bars(frame, name, words, bar)
    return found


def _arguments(argv: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.calibration", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--row", nargs="+", choices=[*ROWS, "all"], default=["all"])
    parser.add_argument("--trials", type=int, help="trials of each setting")
    parser.add_argument("--seed", type=int, nargs="+", help="1 2 3 by default; long rows: 1")
    parser.add_argument("--jobs", type=int, default=2, help="processes side by side")
    parser.add_argument("--work", type=Path, default=ROOT / ".calibration", help="finished pieces")
    parser.add_argument("--out", type=Path, default=ROOT / "reports", help="where reports go")
    parser.add_argument("--settings", type=int, help="only the first settings of each row")
    parser.add_argument("--again", type=int, default=4000, help="trials of the re-runs; 0: none")
    parser.add_argument("--quiet", action="store_true", help="no progress")
    return parser.parse_args(argv)


def main(argv: Sequence[str] | None = None) -> int:
    """Run what was asked, read what was kept of the other rows, write the reports."""
    asked = _arguments(argv)
    console = Console(quiet=asked.quiet)
    wanted = list(ROWS) if "all" in asked.row else asked.row
    frames: dict[str, pd.DataFrame] = {}
    again: pd.DataFrame | None = None
    floored: pd.DataFrame | None = None
    for name, row in ROWS.items():
        seeds = asked.seed or SEEDS[: row.seeds]
        options = {"trials": asked.trials, "take_only": asked.settings}
        if name in wanted:
            frames[name] = run_row(row, seeds, asked.work, asked.jobs, quiet=asked.quiet, **options)
        else:
            kept = kept_row(row, seeds, asked.work, **options)
            if kept is not None:
                frames[name] = kept
        if name == "grid" and name in frames and asked.again:
            again = run_again(
                frames[name],
                asked.work,
                asked.jobs,
                trials=asked.again,
                quiet=asked.quiet,
                make=name in wanted,
            )
        if name == "regression" and name in frames and asked.again:
            floored = run_floored(
                row,
                frames[name],
                bars.REGRESSION_FLOOR,
                asked.work,
                asked.jobs,
                quiet=asked.quiet,
                make=name in wanted,
            )
    verdicts = verdicts_of(frames, again)
    if floored is not None:
        frames = {**frames, "regression, again": floored}
        verdicts += bars.floored_bars(floored)
    if again is not None:
        frames = {**frames, "grid, again": again}
    made = write_reports(asked.out, frames, verdicts)
    for verdict in verdicts:
        mark = "met    " if verdict.met else "NOT MET"
        console.print(
            f"{mark} {verdict.row}: {verdict.what}: {verdict.bar}; {verdict.measured}",
            highlight=False,
            markup=False,
        )
    for path in made:
        console.print(f"written: {path}", highlight=False, markup=False)
    return 0


if __name__ == "__main__":
    # One thread for linear algebra in each process: pieces run side by side.
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")
    sys.exit(main())
