"""What does a reader meet who opens a page? Asked of the system's own Chromium.

Eight pages: the demo season, its order, a plan, a comparison, a check with faults, and a season,
an order and a plan whose names try everything. Tolerances: a page is too wide when it scrolls
sideways by a single pixel; texts of a drawing overlap when their boxes share more than a quarter
of a line.
"""

from __future__ import annotations

import filecmp
import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.browser.opened import HERE, PAGES, node_with_libraries, pages_in, seen_in
from tests.browser.programs import program
from tests.made_once import MadeOnce
from tests.pages.hostile_names import FORMULA, HEBREW, LONG, SCRIPT, TURNED

MOST_BYTES = 3_000_000
SCREENS = ("desk", "phone")  # 1280 px, 390 px
PAPERS = ("A4", "Letter")  # what is left of a sheet between its margins
VIEWS = (*SCREENS, *PAPERS)
MARGIN_POINTS = 13 / 25.4 * 72
OVERRIDE = "\u202e"

Look = Callable[[Path, Path], dict[str, Any]]


@pytest.fixture(scope="module")
def node() -> str:
    return node_with_libraries()


@pytest.fixture(scope="module")
def look(node: str) -> Look:
    chromium = program("chromium", "chromium-browser", package="chromium")
    return lambda page, folder: seen_in(folder, page, node, chromium)


@pytest.fixture(scope="module")
def pages(demo_page: Path, made_once: MadeOnce) -> dict[str, Path]:
    folder, names = made_once("browser_pages", pages_in)
    return {"demo": demo_page} | {name: folder / at for name, at in names.items()}


@pytest.fixture(scope="module", params=PAGES)
def seen(
    request: pytest.FixtureRequest, look: Look, pages: dict[str, Path], made_once: MadeOnce
) -> dict[str, Any]:
    """What is seen of each page; looked at once for all processes of this run."""
    page = pages[request.param]
    name = f"looked_at_{request.param.replace(' ', '_')}"
    folder, found = made_once(name, lambda own: look(page, own))
    return {**found, "folder": folder, "name": request.param}


def test_page_is_small_enough_to_send(demo_page: Path) -> None:
    assert demo_page.stat().st_size < MOST_BYTES


@pytest.mark.parametrize("view", VIEWS)
def test_nothing_sticks_out_sideways(seen: dict[str, Any], view: str) -> None:
    assert seen["views"][view]["overflow"] <= 0


@pytest.mark.parametrize("view", PAPERS)
def test_no_table_and_no_drawing_is_cut_on_paper(seen: dict[str, Any], view: str) -> None:
    assert seen["views"][view]["cut"] == []


@pytest.mark.parametrize("view", VIEWS)
def test_no_text_of_a_drawing_lies_over_another(seen: dict[str, Any], view: str) -> None:
    drawings = seen["views"][view]["drawings"]
    assert drawings > 0 or seen["name"] == "check"
    assert drawings == 0 or seen["views"][view]["texts"] > 0
    assert seen["views"][view]["overlaps"] == []


def test_the_page_is_quiet_and_stays_at_home_with_the_network_off(seen: dict[str, Any]) -> None:
    assert seen["complaints"] == []
    assert seen["requests"] == []


def test_names_that_try_everything_are_words_to_read(seen: dict[str, Any]) -> None:
    if not seen["name"].startswith("hostile"):
        return
    read = " ".join(seen["text"].split())
    for text in (SCRIPT, FORMULA, HEBREW, LONG, TURNED.replace(OVERRIDE, "\ufffd")):
        assert text in read
    assert OVERRIDE not in read
    assert seen["scripts"] == 0


def test_what_slips_into_a_page_is_stopped_by_its_policy(
    look: Look, pages: dict[str, Path], tmp_path: Path
) -> None:
    """A picture from outside and a script, put into a page of ours, are both blocked."""
    html = pages["check"].read_text("utf-8")
    slipped = '<img alt="x" src="https://picture.invalid/x.png"><script>document.title = 1</script>'
    page = tmp_path / "slipped.html"
    page.write_text(html.replace("</main>", f"{slipped}</main>"), "utf-8")
    assert slipped in page.read_text("utf-8")
    seen = look(page, tmp_path)
    stopped = [said for said in seen["complaints"] if "The action has been blocked" in said]
    assert any(said.startswith("Loading the image") for said in stopped)
    assert any(said.startswith("Executing inline script") for said in stopped)


def test_every_link_of_the_contents_leads_somewhere(seen: dict[str, Any]) -> None:
    assert seen["views"]["desk"]["dead_links"] == []
    assert seen["views"]["desk"]["links"] > 3 or seen["name"] == "check"


def test_without_scripts_it_looks_the_same(seen: dict[str, Any]) -> None:
    first, still = (seen["folder"] / name for name in ("desk.png", "desk-still.png"))
    assert filecmp.cmp(first, still, shallow=False)


@pytest.mark.parametrize("view", SCREENS)
def test_nobody_is_shut_out(seen: dict[str, Any], view: str) -> None:
    """Held to axe-core's rules; the page has none of any weight, so none is let pass."""
    assert seen["axe"][view] == []
    assert seen["axe_rules"] > 15


@pytest.mark.parametrize("view", VIEWS)
def test_the_first_words_say_that_the_data_are_invented(seen: dict[str, Any], view: str) -> None:
    assert seen["views"][view]["first_words"].startswith("INVENTED DATA")


def test_words_are_large_enough_to_read_on_a_phone(seen: dict[str, Any]) -> None:
    assert seen["views"]["phone"]["smallest_text_px"] >= 12


@pytest.mark.parametrize("paper", PAPERS)
def test_the_print_has_every_word_of_every_table_between_its_margins(
    seen: dict[str, Any], pages: dict[str, Path], paper: str
) -> None:
    pdftotext = program("pdftotext", package="poppler-utils")
    pdf = seen["folder"] / f"{paper}.pdf"
    boxes = subprocess.run(
        [pdftotext, "-bbox", str(pdf), "-"], capture_output=True, text=True, check=True
    ).stdout
    wide = [float(width) for width in re.findall(r'<page width="([\d.]+)"', boxes)]
    assert wide[0] == pytest.approx({"A4": 210 / 25.4 * 72, "Letter": 8.5 * 72}[paper], abs=1)
    ends = [float(end) for end in re.findall(r'<word [^>]*xMax="([\d.]+)"', boxes)]
    assert max(ends) <= wide[0] - MARGIN_POINTS + 1
    if seen["name"].startswith("hostile"):  # words cut in two, and words that run the other way
        return
    printed = set(re.findall(r">([^<>]+)</word>", boxes))
    html = pages[seen["name"]].read_text("utf-8")
    cells = re.findall(r"<t[dh](?: [^>]*)?>(.*?)</t[dh]>", html, flags=re.DOTALL)
    words = {word for cell in cells for word in re.split(r"[\s\u00a0-]+|<wbr>", cell) if word}
    assert len(words) > 30
    text = " ".join(printed).replace("&apos;", "&#39;").replace("&quot;", "&#34;")
    missing = {word for word in words if word not in text}
    assert not missing


@pytest.mark.parametrize("paper", PAPERS)
def test_the_order_to_hand_on_is_one_sheet(seen: dict[str, Any], paper: str) -> None:
    if seen["name"] != "order":
        return
    pdftotext = program("pdftotext", package="poppler-utils")
    pdf = seen["folder"] / f"{paper}.pdf"
    done = subprocess.run([pdftotext, str(pdf), "-"], capture_output=True, text=True, check=True)
    first, second, *_ = done.stdout.split("\f")
    assert "Ordered by" in first
    assert second.lstrip().startswith("Why these numbers")


def test_the_pages_are_valid_html(node: str, pages: dict[str, Path]) -> None:
    """Held to the HTML standard by html-validate, offline."""
    done = subprocess.run(
        [node, str(HERE / "validate.mjs"), *map(str, pages.values())],
        capture_output=True,
        text=True,
        timeout=120,
        cwd=HERE,
    )
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == []


def test_the_eye_can_see_a_bad_page(look: Look, node: str, tmp_path: Path) -> None:
    """A page with every fault is caught, so the tests above can fail."""
    bad = tmp_path / "bad.html"
    bad.write_text(
        "<!doctype html><title>bad</title><p>words</p>"
        '<svg width="300" height="60"><text x="10" y="20">cleft 91 %</text>'
        '<text x="20" y="22">side veneer</text></svg>'
        '<div style="width:2000px">wide</div>'
        '<table style="width:1500px"><tr><td>cut</td></tr></table>'
        '<a href="#nowhere">dead</a>'
        '<img src="https://picture.invalid/x.png">'
        "<script>console.error('loud'); document.querySelector('p').textContent = 'x'</script>",
        encoding="utf-8",
    )
    seen = look(bad, tmp_path)
    assert all(seen["views"][view]["overflow"] > 0 for view in VIEWS)
    assert all(seen["views"][view]["cut"] for view in PAPERS)
    assert ["cleft 91 %", "side veneer"] in seen["views"]["desk"]["overlaps"]
    assert "loud" in seen["complaints"]
    assert "https://picture.invalid/x.png" in seen["requests"]
    assert seen["views"]["desk"]["dead_links"] == ["#nowhere"]
    found = {
        entry["id"] for entry in seen["axe"]["desk"] if entry["impact"] in ("critical", "serious")
    }
    assert {"image-alt", "html-has-lang"} <= found
    assert not filecmp.cmp(tmp_path / "desk.png", tmp_path / "desk-still.png", shallow=False)
    done = subprocess.run(
        [node, str(HERE / "validate.mjs"), str(bad)], capture_output=True, text=True, cwd=HERE
    )
    assert {entry["rule"] for entry in json.loads(done.stdout)} >= {"wcag/h37"}
