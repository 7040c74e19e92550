"""``python -m tests.fuzz --files 10000 --seed 1``: break files, read them, count what stumbles.

With ``--page reports/fuzz.md`` the table is written there as well.
"""

from __future__ import annotations

import argparse
import faulthandler
import sys
import tempfile
import warnings
from pathlib import Path

from tests.calibration.pieces import write_whole
from tests.fuzz.page import page
from tests.fuzz.run import MOST_SECONDS, fuzz


def main() -> int:
    """Run, tell, and end with 1 where a file came through as it should not."""
    asked = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    asked.add_argument("--files", type=int, default=10_000)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--page", type=Path, help="where the table goes, as reports/fuzz.md")
    asked.add_argument("--folder", type=Path, help="where files that stumble are kept")
    words = asked.parse_args()
    faulthandler.enable()  # a crash inside a library names the line that led to it
    warnings.simplefilter("error")
    folder = words.folder or Path(tempfile.mkdtemp(prefix="fuzz-"))
    folder.mkdir(parents=True, exist_ok=True)
    tallies = fuzz(words.files, words.seed, folder, lambda said: sys.stderr.write(f"{said}\n"))
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
        sys.stdout.write(f"\nKept in {folder / 'kept'}\n")
    if words.page is not None:
        write_whole(words.page, text)
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(main())
