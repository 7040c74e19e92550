"""How fast is it, beside named peers on the same trays in the same run?

    python -m tests.benchmarks [--what one-factor five eight ... planned] [--out reports]
    python -m tests.benchmarks --what scale [--out reports]

Writes speed.csv, speed.md and speed.svg; "scale", which is not among the defaults, scale.csv,
scale.md and scale.svg (ten thousand grafts to ten million: 3 GB of memory, some minutes).
Times hang on the machine and on what else it is doing: both are said; the ratio to a
peer of the same run says more.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from tests.benchmarks.measures import Speed
from tests.benchmarks.page import row_words, write_reports
from tests.benchmarks.scale import write_scale
from tests.benchmarks.timed import MEASURES

SCALE = "scale"
ROOT = Path(__file__).resolve().parents[2]


def main(argv: Sequence[str] | None = None) -> int:
    """Time what was asked and write the two files."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--what", nargs="+", choices=[*MEASURES, SCALE], default=list(MEASURES))
    parser.add_argument("--out", type=Path, default=ROOT / "reports")
    asked = parser.parse_args(argv)
    console = Console()
    load = [os.getloadavg()[0]]
    found: list[Speed] = []
    if SCALE in asked.what:
        told = write_scale(asked.out, lambda line: console.print(line, highlight=False))
        for path in told:
            console.print(f"written: {path}", highlight=False, markup=False)
    for name in [name for name in asked.what if name != SCALE]:
        new = MEASURES[name]()
        load.append(os.getloadavg()[0])
        for speed in new:
            console.print(row_words(speed), highlight=False, markup=False)
        found += new
    for path in write_reports(asked.out, found, load) if found else []:
        console.print(f"written: {path}", highlight=False, markup=False)
    return 0


if __name__ == "__main__":
    sys.exit(main())
