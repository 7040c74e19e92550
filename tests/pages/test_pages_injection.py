"""No text of a grower becomes a path, a formula, markup, or a fetch, in any paper or page."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest

import takestats as ts
from takestats.cli.app import main
from takestats.pages.own_files import MANIFEST, is_plain
from tests.pages.small_seasons import small_records

PATHS = ("../../x", "CON", "nul.txt", "/etc/x", "C:\\x", "x" * 5000, "..", "a\x1b[2Jb")
FORMULAS = ("=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", '=HYPERLINK("x","y")', "a;=1+1")
POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
TEMPLATES = Path(ts.__file__).parent / "pages" / "templates"


class _Reader(HTMLParser):
    """What a page asks the browser to do."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.asks: list[str] = []
        self.policy: str | None = None
        self.before_policy: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.tags.add(tag)
        if tag == "meta" and (told.get("http-equiv") or "").lower() == "content-security-policy":
            self.policy = told["content"]
        elif self.policy is None:
            self.before_policy.add(tag)
        for name, value in attrs:
            fetches = name in ("src", "href", "xlink:href", "srcset", "data", "action", "poster")
            if name.startswith("on") or (fetches and not (value or "").startswith("#")):
                self.asks.append(f"{tag} {name}={value}")


def hold_page(html: str) -> None:
    """The policy stands before anything that could fetch, and nothing asks for a fetch."""
    page = _Reader()
    page.feed(html)
    assert page.policy == POLICY
    assert page.before_policy <= {"html", "head", "meta"}
    assert not page.tags & {"script", "iframe", "object", "embed", "link", "img", "form", "base"}
    assert page.asks == []
    assert not re.search(r"@import|url\((?!#)", html)


def hold_workbook(path: Path) -> None:
    """Text is text; the program's own formulas stand where it put them and nowhere else."""
    with zipfile.ZipFile(path) as packed:
        for name in packed.namelist():
            root = ElementTree.fromstring(packed.read(name))
            for element in root.iter():
                if element.tag.endswith("}f"):
                    assert not any(text in (element.text or "") for text in FORMULAS)
    for sheet in openpyxl.load_workbook(path):
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, str) and cell.value in FORMULAS:
                    assert cell.data_type == "s"


def hold_csv(path: Path) -> None:
    for row in csv.reader(io.StringIO(path.read_text("utf-8-sig"), newline="")):
        for cell in row:
            assert not re.match(r"\s*[=+@\t]", cell), path.name
            assert not re.search(r"[;\t]\s*[=+@]", cell), path.name


def hold_folder(folder: Path) -> None:
    """Every file of a folder, by its kind; and no name but plain ones."""
    for path in folder.rglob("*"):
        name = path.relative_to(folder).as_posix()
        assert is_plain(name) or name == MANIFEST
        if path.suffix == ".html":
            hold_page(path.read_text("utf-8"))
        elif path.suffix == ".xlsx":
            hold_workbook(path)
        elif path.suffix == ".csv":
            hold_csv(path)


def hostile_csv(folder: Path) -> Path:
    """Twelve trays, their ids and a column's name and levels as hostile as they come."""
    told = [text for text in FORMULAS if not text.startswith("=")]  # that is a fault in a tray
    ids = [*PATHS, *told]
    path = folder / "records.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["tray", "../../up", "bench", "grafted", "taken", "count_date", "note"])
        for n, name in enumerate(ids):
            level = ("../../x", "=1+1")[n % 2]
            taken = (26, 28, 19, 27, 27, 29)[n % 6]
            writer.writerow([name, level, name, 30, taken, "2026-06-15", told[n % 4]])
    return path


@pytest.fixture
def inside(tmp_path: Path) -> Path:
    """A folder three levels down, so that a path that leads out is seen."""
    folder = tmp_path / "a" / "b" / "c"
    folder.mkdir(parents=True)
    return folder


def test_ids_and_columns_that_look_like_paths_stay_names(
    inside: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    records = hostile_csv(inside)
    out = inside / "out"
    assert main(["check", str(records), "--out", str(out), "--on", "2026-07-01"]) == 0
    assert "\x1b" not in capsys.readouterr().out
    words = ["compare", str(records), "--by", "../../up", "--out", str(out), "--json"]
    assert main(words) == 0
    said = json.loads(capsys.readouterr().out)
    hold_folder(out)
    assert all(Path(path).is_relative_to(out) for path in said["written"])
    trays = {str(row["tray"]) for row in said["tables"]["trays"]}
    assert set(PATHS) | {"@SUM(A1)"} <= trays
    found = {path.name for path in tmp_path.rglob("*") if not path.is_relative_to(inside)}
    assert found == {"a", "b"} | ({"c"} if inside.name in found else set())


def test_two_columns_with_names_that_no_file_can_have_stay_two() -> None:
    from takestats.pages.rows import slug

    assert len({slug(name) for name in ("сорт", "цвет", "Härte", "H rte", "x" * 99)}) == 5


def test_bench_papers_with_hostile_levels(inside: Path) -> None:
    levels = [*FORMULAS, "<img src=x onerror=alert(1)>", "../../x", "CON"]
    layout = ts.bench_layout({"donor": levels}, 2, tray_size=20, seed=5)
    paths = ts.write_bench(
        layout,
        inside / "out",
        trial={"title": "=1+1 <script>", "label_width_mm": 90, "label_height_mm": 50},
    )
    hold_folder(inside / "out")
    labels = paths[2].read_text("utf-8")
    assert "&lt;img src=x" in labels
    assert '=HYPERLINK("x","y")' in labels.replace("&#34;", '"')
    read = openpyxl.load_workbook(paths[0])["records"]
    texts = {cell.value for row in read.iter_rows() for cell in row}
    assert set(levels) <= texts


def test_every_page_forbids_what_it_does_not_hold() -> None:
    pages = sorted(TEMPLATES.glob("*.html.j2"))
    assert len(pages) >= 4
    for page in pages:
        text = page.read_text("utf-8")
        assert f'http-equiv="Content-Security-Policy" content="{POLICY}"' in text
        assert "|safe" not in text


def test_the_reader_of_pages_can_see_a_bad_one() -> None:
    good = f'<html><head><meta http-equiv="Content-Security-Policy" content="{POLICY}"></head>'
    hold_page(good)
    for bad in (
        good.replace("default-src 'none'", "default-src *"),
        f'{good}<img src="https://x.invalid/">',
        f'{good}<p onclick="x">',
        f'{good}<a href="javascript:x">',
        f"{good}<style>@import 'x'</style>",
        f"<script></script>{good}",
    ):
        with pytest.raises(AssertionError):
            hold_page(bad)


def test_plan_and_season_pages_hold_to_it(tmp_path: Path) -> None:
    words = ["trays", "two-stage", "--floor", "60%", "--promising", "80%"]
    if main([*words, "--out", str(tmp_path / "plan")]) == 0:
        hold_folder(tmp_path / "plan")
    ts.write_report(small_records(), tmp_path / "season")
    hold_folder(tmp_path / "season")
