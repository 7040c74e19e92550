"""Names that try to be something else are shown as text in every file, and nothing runs."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest

from takestats.cli.as_json import json_text
from takestats.cli.page_task import speak
from takestats.cli.report_json import report_parts
from takestats.pages.parts import SeasonReport
from takestats.pages.season_page import season_report, write_season
from takestats.records.result import Records
from takestats.wording.tables_workbook import CONTENTS
from tests.pages.hostile_names import (
    FORMULA,
    HEBREW,
    LONG,
    METHODS,
    PLUS,
    SCRIPT,
    TITLE,
    TURNED,
    hostile_records,
)
from tests.pages.page_tags import Tags
from tests.pages.page_words import page_words

ALLOWED = {
    *("html", "head", "meta", "title", "style", "body", "header", "main", "article", "section"),
    *("nav", "footer", "h1", "h2", "h3", "p", "ul", "li", "a", "div", "span", "wbr", "figure"),
    *("figcaption", "table", "caption", "thead", "tbody", "tr", "th", "td"),
    *("svg", "desc", "g", "path", "defs", "use", "clippath", "rect"),
}
OVERRIDE = "\u202e"


@pytest.fixture(scope="module")
def records() -> Records:
    return hostile_records()


@pytest.fixture(scope="module")
def report(records: Records) -> SeasonReport:
    return season_report(records)


@pytest.fixture(scope="module")
def folder(report: SeasonReport, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("hostile")
    write_season(report, made)
    return made


def test_the_page_has_no_element_but_its_own(folder: Path) -> None:
    html = (folder / "season_page.html").read_text("utf-8")
    tags = Tags()
    tags.feed(html)
    assert tags.tags <= ALLOWED
    assert tags.handlers == []
    words = page_words(html)
    for text in (SCRIPT, FORMULA, PLUS, HEBREW, LONG, "{{ 7 * 7 }}", "<b>bold</b>"):
        assert text in words
    assert OVERRIDE not in html
    assert TURNED.replace(OVERRIDE, "\ufffd") in words


def test_tables_as_csv_hold_the_names_as_typed(folder: Path, report: SeasonReport) -> None:
    data = (folder / "tables" / "trays.csv").read_text("utf-8-sig")
    rows = list(csv.reader(io.StringIO(data, newline="")))
    head = rows[1]
    assert {row[head.index("method")] for row in rows[2:]} == set(METHODS)
    assert {row[head.index("donor")] for row in rows[2:]} >= {f"'{PLUS}", TURNED}
    assert [row[head.index("tray")].lstrip("'") for row in rows[2:]] == list(
        report.tables["trays"]["tray"]
    )
    for path in (folder / "tables").glob("*.csv"):
        for row in csv.reader(io.StringIO(path.read_text("utf-8-sig"), newline="")):
            for cell in row:
                assert not re.match(r"\s*[=+@]", cell), path.name


def test_the_workbook_holds_them_as_text(folder: Path, report: SeasonReport) -> None:
    path = folder / "season_tables.xlsx"
    book = openpyxl.load_workbook(path)
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"}
    sheet = book["trays"]
    rows = list(sheet.iter_rows(values_only=True))
    head = next(row for row in rows if "method" in row)
    body = rows[rows.index(head) + 1 :]
    assert {row[head.index("method")] for row in body} == set(METHODS)
    assert [row[head.index("tray")] for row in body] == list(report.tables["trays"]["tray"])
    assert book[CONTENTS]["A2"].value.startswith(TITLE)
    with zipfile.ZipFile(path) as packed:
        for name in packed.namelist():
            root = ElementTree.fromstring(packed.read(name))
            assert not [e for e in root.iter() if e.tag.endswith("}f")], name


def test_drawings_hold_them_as_words_and_nothing_runs(folder: Path) -> None:
    described = ""
    for path in (folder / "figures").glob("*.svg"):
        root = ElementTree.fromstring(path.read_bytes())
        tags = {element.tag.rpartition("}")[2].lower() for element in root.iter()}
        assert tags <= ALLOWED, path.name
        assert not [a for e in root.iter() for a in e.attrib if a.startswith("on")]
        described += root.findtext("{http://www.w3.org/2000/svg}desc") or ""
    assert SCRIPT in described
    assert LONG in described
    assert OVERRIDE not in described
    for path in (folder / "figures").glob("*.png"):
        assert path.read_bytes().startswith(b"\x89PNG")


def test_json_holds_them_as_typed(records: Records, report: SeasonReport) -> None:
    text = json_text(report_parts(records, report, []))
    said = json.loads(text)
    trays = said["tables"]["trays"]
    assert {row["method"] for row in trays} == set(METHODS)
    assert TURNED in {row["donor"] for row in trays}
    assert said["title"].startswith(TITLE)


def test_the_screen_obeys_no_name(
    records: Records, report: SeasonReport, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    speak(records, report, [folder / "season_page.html"], as_json=False)
    out = capsys.readouterr().out
    assert SCRIPT in out
    assert OVERRIDE not in out


def test_file_names_are_plain(folder: Path) -> None:
    for path in folder.rglob("*"):
        assert re.fullmatch(r"[a-z0-9_.-]+", path.name), path.name
