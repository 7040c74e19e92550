"""How fast is it, beside named peers on the same trays in the same run?

    python -m tests.benchmarks [--what one-factor five eight ... planned] [--out reports]

Writes speed.csv and speed.md. Times hang on the machine and on what else it is
doing: both are said; the ratio to a peer of the same run says more.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from tests.benchmarks.measures import MEASURES, Speed
from tests.benchmarks.page import row_words, write_reports

ROOT = Path(__file__).resolve().parents[2]


def main(argv: Sequence[str] | None = None) -> int:
    """Time what was asked and write the two files."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("--what", nargs="+", choices=list(MEASURES), default=list(MEASURES))
    parser.add_argument("--out", type=Path, default=ROOT / "reports")
    asked = parser.parse_args(argv)
    console = Console()
    load = [os.getloadavg()[0]]
    found: list[Speed] = []
    for name in asked.what:
        new = MEASURES[name]()
        load.append(os.getloadavg()[0])
        for speed in new:
            console.print(row_words(speed), highlight=False, markup=False)
        found += new
    for path in write_reports(asked.out, found, load):
        console.print(f"written: {path}", highlight=False, markup=False)
    return 0


if __name__ == "__main__":
    sys.exit(main())
