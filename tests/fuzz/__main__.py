"""``python -m tests.fuzz --files 10000 --seed 1``: break files, read them, count what stumbles.

With ``--page reports/fuzz.md`` the table is written there as well.
"""

from __future__ import annotations

import argparse
import faulthandler
import os
import sys
import tempfile
import warnings
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.calibration.pieces import write_whole
from tests.fuzz.page import page
from tests.fuzz.run import MOST_SECONDS, fuzz, together


def _begin() -> None:
    faulthandler.enable()  # a crash inside a library names the line that led to it
    warnings.simplefilter("error")


def _say(said: str) -> None:
    sys.stderr.write(f"{said}\n")


def main() -> int:
    """Run, tell, and end with 1 where a file came through as it should not."""
    asked = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    asked.add_argument("--files", type=int, default=10_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--page", type=Path, help="where the table goes, as reports/fuzz.md")
    asked.add_argument("--folder", type=Path, help="where files that stumble are kept")
    asked.add_argument("--cores", type=int, default=os.cpu_count() or 1)
    words = asked.parse_args()
    folder = words.folder or Path(tempfile.mkdtemp(prefix="fuzz-"))
    cores = max(1, words.cores)
    with ProcessPoolExecutor(cores, initializer=_begin) as pool:
        parts = [
            pool.submit(
                fuzz, range(first, words.files, cores), words.seed, folder / str(first), _say
            )
            for first in range(cores)
        ]
        tallies = together([part.result() for part in parts])
    text = page(tallies, words.files, words.seed, MOST_SECONDS)
    sys.stdout.write(text)
    faulty = [
        line
        for tally in tallies.values()
        for line in (*tally.stumbles, *tally.hangs, *tally.silent)
    ]
    for line in faulty:
        sys.stdout.write(f"\n{line}\n")
    if faulty:
        sys.stdout.write(f"\nKept in {folder}, under kept\n")
    if words.page is not None:
        write_whole(words.page, text)
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(main())
