"""What does a reader meet who opens a page? Asked of the system's own Chromium.

Tolerances: a page is too wide when it scrolls sideways by a single pixel; texts of
a drawing overlap when their boxes share more than a quarter of a line.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from takestats.cli.app import main
from takestats.cli.demo import demo_season

HERE = Path(__file__).parent
MOST_BYTES = 3_000_000
VIEWS = ("desk", "phone", "A4")  # 1280 px, 390 px, 210 mm

Look = Callable[[Path], dict[str, Any]]


def stop_or_skip(reason: str) -> None:
    if os.environ.get("TAKESTATS_REQUIRE_BROWSER"):
        pytest.fail(f"{reason}; TAKESTATS_REQUIRE_BROWSER is set")
    pytest.skip(reason)


@pytest.fixture(scope="module")
def look(tmp_path_factory: pytest.TempPathFactory) -> Look:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    node = shutil.which("node")
    if chromium is None:
        stop_or_skip("no Chromium on this machine (Debian: apt-get install chromium)")
    if node is None:
        stop_or_skip("no node on this machine")
    if not (HERE / "node_modules" / "playwright-core").is_dir():
        stop_or_skip("playwright-core is missing: run `npm install` in tests/browser")
    folder = tmp_path_factory.mktemp("looked")

    def at(page: Path) -> dict[str, Any]:
        done = subprocess.run(
            [str(node), str(HERE / "look.mjs"), str(chromium), str(page), str(folder)],
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert done.returncode == 0, done.stderr
        seen: dict[str, Any] = json.loads(done.stdout)
        seen["pdf"] = folder / "page.pdf"
        return seen

    return at


@pytest.fixture(scope="module")
def seen(look: Look, demo_page: Path) -> dict[str, Any]:
    return look(demo_page)


def test_page_is_small_enough_to_send(demo_page: Path) -> None:
    assert demo_page.stat().st_size < MOST_BYTES


@pytest.mark.parametrize("view", VIEWS)
def test_nothing_sticks_out_sideways(seen: dict[str, Any], view: str) -> None:
    assert seen["views"][view]["overflow"] <= 0


@pytest.mark.parametrize("view", VIEWS)
def test_no_text_of_a_drawing_lies_over_another(seen: dict[str, Any], view: str) -> None:
    assert seen["views"][view]["drawings"] > 0
    assert seen["views"][view]["texts"] > 0
    assert seen["views"][view]["overlaps"] == []


def test_the_page_is_quiet_and_stays_at_home(seen: dict[str, Any]) -> None:
    assert seen["complaints"] == []
    assert seen["requests"] == []


@pytest.mark.parametrize("view", VIEWS)
def test_the_first_words_say_that_the_data_are_invented(seen: dict[str, Any], view: str) -> None:
    assert "INVENTED DATA" in seen["views"][view]["first_words"]


def test_words_are_large_enough_to_read_on_a_phone(seen: dict[str, Any]) -> None:
    assert seen["views"]["phone"]["smallest_text_px"] >= 12


def test_print_has_the_words(seen: dict[str, Any]) -> None:
    if shutil.which("pdftotext") is None:
        stop_or_skip("no pdftotext on this machine (Debian: apt-get install poppler-utils)")
    words = subprocess.run(
        ["pdftotext", str(seen["pdf"]), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "INVENTED DATA" in words
    assert "side veneer" in words


def test_the_page_of_a_check_with_faults_fits_every_view(look: Look, tmp_path: Path) -> None:
    season = demo_season()
    faulty = HERE.parents[1] / "datasets_demo" / season.name / "planted_faults.csv"
    words = ["check", str(faulty), "--trial", str(season / "trial.toml"), "--on", "2026-06-20"]
    assert main([*words, "--out", str(tmp_path)]) == 2
    seen = look(tmp_path / "check.html")
    assert seen["complaints"] == []
    assert seen["requests"] == []
    for view in VIEWS:
        assert seen["views"][view]["overflow"] <= 0
        assert "INVENTED DATA" in seen["views"][view]["first_words"]
    assert seen["views"]["phone"]["smallest_text_px"] >= 12


def test_the_eye_can_see_a_bad_page(look: Look, tmp_path: Path) -> None:
    """A page with every fault is caught, so the tests above can fail."""
    bad = tmp_path / "bad.html"
    bad.write_text(
        "<!doctype html><title>bad</title><p>words</p>"
        '<svg width="300" height="60"><text x="10" y="20">cleft 91 %</text>'
        '<text x="20" y="22">side veneer</text></svg>'
        '<div style="width:2000px">wide</div>'
        '<img src="https://picture.invalid/x.png">'
        "<script>console.error('loud')</script>",
        encoding="utf-8",
    )
    seen = look(bad)
    assert all(seen["views"][view]["overflow"] > 0 for view in VIEWS)
    assert ["cleft 91 %", "side veneer"] in seen["views"]["desk"]["overlaps"]
    assert "loud" in seen["complaints"]
    assert "https://picture.invalid/x.png" in seen["requests"]
