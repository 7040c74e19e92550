"""The bench part is one printed sheet: asked of the system's own Chromium."""

from __future__ import annotations

import re
import shutil
import subprocess
from itertools import product
from pathlib import Path

import pandas as pd
import pytest

from takestats.pages.render import page_bytes
from takestats.pages.season_page import season_report
from takestats.records.read import records_from_frame
from takestats.records.result import Records
from tests.pages.small_seasons import SETTINGS

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PDFTOTEXT = shutil.which("pdftotext")
QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-pdf-header-footer",
]

needs_browser = pytest.mark.skipif(
    CHROMIUM is None or PDFTOTEXT is None,
    reason="no Chromium or no pdftotext on this machine (Debian: chromium, poppler-utils)",
)


def _full_bench(seasons: int = 1) -> Records:
    """Twelve combinations with long names, each by two methods, uneven and partly odd."""
    rows = []
    for season, plant in product(range(2027 - seasons, 2027), range(12)):
        for tray in range(8):
            taken = (30, 29, 27, 24, 28, 20, 26, 3 if plant == 4 else 25)[tray]
            rows.append(
                {
                    "season": str(season),
                    "tray": f"T{len(rows) + 1:03d}",
                    "method": ("cleft", "side veneer", "whip-and-tongue")[tray % 3],
                    "scion": f"Hamamelis × intermedia 'Invented Lantern Number {plant + 1}'",
                    "understock": "Hamamelis virginiana",
                    "scion_wood": ("terminal", "sub_terminal")[tray % 2],
                    "caliper_class": ("thin", "stout")[tray // 4],
                    "grafted": 31,
                    "missing": 1,
                    "taken": taken,
                    "count_date": f"{season}-06-16",
                }
            )
    return records_from_frame(pd.DataFrame(rows), trial={**SETTINGS, "compare": {}})


@needs_browser
@pytest.mark.parametrize("seasons", [1, 3])
def test_a_full_bench_part_fits_one_sheet(tmp_path: Path, seasons: int) -> None:
    page = tmp_path / "season_page.html"  # the page alone: its tables and figures are not printed
    page.write_bytes(page_bytes(season_report(_full_bench(seasons))))
    pdf = tmp_path / "page.pdf"
    subprocess.run(
        [str(CHROMIUM), *QUIET, f"--print-to-pdf={pdf}", page.as_uri()],
        check=True,
        capture_output=True,
        timeout=120,
    )
    sheets = [
        subprocess.run(
            [str(PDFTOTEXT), "-f", str(number), "-l", str(number), str(pdf), "-"],
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for number in (1, 2)
    ]
    assert sheets[0].startswith("INVENTED DATA")
    assert "For the bench" in sheets[0]
    assert "The season in detail" not in sheets[0]
    assert sheets[1].lstrip().startswith("The season in detail")


def test_many_levels_are_drawn_in_parts_that_fit_a_sheet() -> None:
    frame = pd.DataFrame(
        {
            "season": ["2026"] * 50,
            "tray": [f"T{i:02d}" for i in range(50)],
            "combination_lot": [f"lot {i % 25:02d}" for i in range(50)],
            "grafted": [30] * 50,
            "taken": [20 + i % 11 for i in range(50)],
        }
    )
    records = records_from_frame(frame, trial={"compare": {"factors": ["combination_lot"]}})
    page = page_bytes(season_report(records)).decode("utf-8")
    heights = [float(box) for box in re.findall(r'viewBox="0 0 \S+ (\S+)"', page)]
    assert len(heights) == 3
    assert max(heights) < 11 * 72
    assert len(page) < 3_000_000
