"""Can every code be read back from the printed bench sheets and labels, on A4 and on Letter?

The papers are printed by the system's own Chromium, and read by pdftotext (poppler), which
knows nothing of the layout.
"""

from __future__ import annotations

import re
import subprocess
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import takestats as ts
from takestats.bench.layout import BenchLayout
from takestats.bench.tray_codes import is_tray_code
from takestats.pages.bench_asked import layout_of_settings
from takestats.pages.bench_papers import LABEL_MM
from takestats.records.settings import read_trial
from tests.browser.programs import program
from tests.pages.filled_layout import SETTINGS

SIZES = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}
KINDS: dict[str, dict[str, Any]] = {
    "whole": {"trays_each": 12},
    "split": {"split_trays": True, "label_width_mm": 64, "label_height_mm": 34},
    "grafts": {"rows": "graft", "trays_each": 4, "tray_size": 12},
}
PAPERS = ("bench_sheets.html", "tray_labels.html", "bench_map.html")


Box = tuple[float, float, float, float, str]
"""Where a word stands: left, top, right and bottom in points; and the word."""

Page = tuple[float, float, list[Box]]
"""A printed page: width, height, words."""

Prints = Callable[[str, str], list[Page]]

LINE = 6.0
"""Points by which words of one line may stand higher or lower than each other."""


@pytest.fixture(scope="module")
def chromium() -> str:
    return program("chromium", "chromium-browser", package="chromium")


@pytest.fixture(scope="module", params=KINDS)
def drawn(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[str, BenchLayout, Path]:
    trial = read_trial({**SETTINGS, "bench": {**SETTINGS["bench"], **KINDS[request.param]}})
    layout = layout_of_settings(trial)
    folder = tmp_path_factory.mktemp(request.param)
    ts.write_bench(layout, folder, trial=trial)
    return request.param, layout, folder


def printed(chromium: str, page: Path, size: str) -> list[Page]:
    """Print a paper on sheets of this size; each page with its size and the boxes of its words.

    The style of the page names no size, so that any printer may take it; here it is named.
    """
    text = page.read_text("utf-8")
    sized = text.replace("@page { size: landscape;", f"@page {{ size: {size} landscape;")
    sized = sized.replace("@page { margin", f"@page {{ size: {size}; margin")
    assert sized != text
    copy = page.with_name(f"{page.stem}_{size}.html")
    copy.write_text(sized, encoding="utf-8")
    pdf = copy.with_suffix(".pdf")
    profile = page.parent / "profile"
    words = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    subprocess.run(
        [chromium, *words, f"--user-data-dir={profile}", f"--print-to-pdf={pdf}", copy.as_uri()],
        capture_output=True,
        timeout=120,
        check=True,
    )
    return words_of(pdf)


def words_of(pdf: Path) -> list[Page]:
    reader = program("pdftotext", package="poppler-utils")
    told = subprocess.run(
        [reader, "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    pages = []
    for part in told.split("<page ")[1:]:
        width, height = map(float, re.findall(r'(?:width|height)="([\d.]+)"', part)[:2])
        found = re.findall(
            r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]+)<', part
        )
        pages.append((width, height, [(*map(float, box[:4]), box[4]) for box in found]))
    return pages  # type: ignore[return-value]


@pytest.fixture(scope="module")
def prints(chromium: str, drawn: tuple[str, BenchLayout, Path]) -> Prints:
    """Each paper is printed once."""
    made: dict[tuple[str, str], list[Page]] = {}

    def of(paper: str, size: str) -> list[Page]:
        if (paper, size) not in made:
            made[paper, size] = printed(chromium, drawn[2] / paper, size)
        return made[paper, size]

    return of


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("paper", PAPERS)
def test_every_code_is_read_back_from_the_print(
    drawn: tuple[str, BenchLayout, Path], prints: Prints, paper: str, size: str
) -> None:
    kind, layout, _ = drawn
    codes = list(dict.fromkeys(layout.table["tray"]))
    pages = prints(paper, size)
    landscape = paper == "bench_sheets.html"
    wide, high = sorted(SIZES[size], reverse=landscape)
    read: list[str] = []
    for width, height, found in pages:
        words = sorted(found, key=lambda box: (round(float(box[1]) / LINE), box[0]))
        assert (width, height) == pytest.approx((wide, high), abs=1)
        for x_low, y_low, x_high, y_high, word in words:
            assert 0 <= x_low < x_high <= width
            assert 0 <= y_low < y_high <= height
            if is_tray_code(str(word)):
                read.append(str(word))
    times = 1
    if landscape and kind == "split":
        times = 2
    if landscape and kind == "grafts":
        times = int(layout.table["grafts"].iloc[0])
    assert Counter(read) == dict.fromkeys(codes, times)
    assert list(dict.fromkeys(read)) == codes  # in the order of the bench


@pytest.mark.parametrize("size", SIZES)
def test_no_label_is_cut_and_each_holds_its_treatment(
    drawn: tuple[str, BenchLayout, Path], prints: Prints, size: str
) -> None:
    """Every word within the edges of a label, measured from its code, tells of that tray."""
    kind, layout, _ = drawn
    asked = KINDS[kind]
    wide = float(asked.get("label_width_mm", LABEL_MM[0])) / 25.4 * 72
    high = float(asked.get("label_height_mm", LABEL_MM[1])) / 25.4 * 72
    told: dict[str, str] = {}
    for _, _, words in prints("tray_labels.html", size):
        for x, y, _, _, code in [box for box in words if is_tray_code(str(box[4]))]:
            inside = [
                box
                for box in words
                if x - 1 <= box[0] and box[2] <= x + wide and y <= box[1] and box[3] <= y + high
            ]
            told[str(code)] = " ".join(str(box[4]) for box in inside).replace(",", "")
    for row in layout.table.to_dict("records"):
        said = told[row["tray"]]
        assert sum(is_tray_code(word) for word in said.split()) == 1
        for name in layout.treatment_columns:
            assert str(row[name]) in said
        assert f"{row['block']} place {row['position']}" in said
        assert "INVENTED DATA" in said


def test_a_code_misread_by_one_sign_would_be_caught() -> None:
    """The check above can fail: any other sign of the alphabet makes another code."""
    assert is_tray_code("A3CH")
    assert not [s for s in "ABCDEFGHIJKLMNOPQRSTUVWXYZ" if s != "C" and is_tray_code(f"A3{s}H")]
