"""Is a season page made without loading what it does not need?"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
#: Large, and slow to load.
NOT_NEEDED = {"scipy.stats", "statsmodels", "scipy.interpolate"}
NOT_AT_FIRST = NOT_NEEDED | {"scipy.optimize"}
# Invented. Every graft of side veneer took: whether a second look has an answer is decided from
# the counts. Where it has one, statsmodels is loaded for it, which loads scipy.stats.
SEASON = """
import sys
import pandas as pd
from takestats.pages.season_page import write_report
from takestats.records.read import records_from_frame
bench = pd.DataFrame({
    "season": "2025-26", "tray": list("ABCDEFGH"), "method": ["cleft", "side veneer"] * 4,
    "grafted": 40, "taken": [31, 40, 36, 40, 33, 40, 35, 40]})
write_report(records_from_frame(bench), sys.argv[1])
"""


def loaded_after(code: str, *words: str) -> set[str]:
    """Every module that stands in a fresh process after this code."""
    tell = f"{code}\nimport json, sys; print(json.dumps(list(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", tell, *words],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
        env={**os.environ, "TAKESTATS_ONE_AT_A_TIME": "1"},
    )
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_it_begins_without_the_library_of_statistics() -> None:
    loaded = loaded_after("import takestats.pages.season_page")
    assert "takestats.answers.model_checks" in loaded
    assert loaded & NOT_AT_FIRST == set()


def test_a_whole_season_is_told_and_drawn_without_it(tmp_path: Path) -> None:
    loaded = loaded_after(SEASON, str(tmp_path))
    assert (tmp_path / "season_page.html").exists()
    assert "takestats.charts.takes" in loaded
    assert loaded & NOT_NEEDED == set()
