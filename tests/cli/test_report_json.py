"""Does a page's JSON hold the page, in a shape that another program can rely on?"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from takestats.cli.as_json import json_text
from takestats.cli.report_json import report_parts
from takestats.pages.comparison_page import comparison_report
from takestats.pages.parts import SeasonReport
from takestats.pages.season_page import write_season
from tests.pages.small_seasons import small_records

KEYS = [
    *("shape", "takestats", "banner", "invented", "sources", "count", "notes", "problems"),
    *("set_aside", "title", "sentences", "sections", "report_notes", "table_notes", "tables"),
    *("charts", "written"),
]


def read(text: str) -> dict[str, object]:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is not JSON")

    said: dict[str, object] = json.loads(text, parse_constant=refuse)
    return said


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, float):
        yield value
    elif isinstance(value, dict):
        for item in value.values():
            yield from numbers(item)
    elif isinstance(value, list):
        for item in value:
            yield from numbers(item)


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[SeasonReport, dict[str, object]]:
    records = small_records()
    report = comparison_report(records, "scion_wood")
    paths = write_season(report, tmp_path_factory.mktemp("page"))
    return report, read(json_text(report_parts(records, report, paths)))


def test_the_keys_are_these_and_no_number_is_none(
    both: tuple[SeasonReport, dict[str, object]],
) -> None:
    _, said = both
    assert list(said) == KEYS
    assert said["shape"] == 1
    assert str(said["banner"]).startswith("INVENTED DATA")
    found = list(numbers(said))
    assert len(found) > 50
    assert all(math.isfinite(value) for value in found)


def test_it_holds_the_page(both: tuple[SeasonReport, dict[str, object]]) -> None:
    report, said = both
    assert said["sentences"] == list(report.sentences)
    assert said["report_notes"] == list(report.notes)
    sections = said["sections"]
    assert isinstance(sections, list)
    bench = [word for part in sections if part["part"] == "bench" for word in part["words"]]
    assert bench == list(report.sentences)
    tables = said["tables"]
    assert isinstance(tables, dict)
    assert {name: len(rows) for name, rows in tables.items()} == {
        name: len(table) for name, table in report.tables.items()
    }
    first = next(iter(report.tables))
    assert list(tables[first][0]) == [str(name) for name in report.tables[first].columns]
    assert tables[first][0]["take_rate"] == report.tables[first]["take_rate"].iloc[0]


def test_charts_are_told_and_their_files_named(
    both: tuple[SeasonReport, dict[str, object]],
) -> None:
    report, said = both
    charts = said["charts"]
    assert isinstance(charts, list)
    assert len(charts) == len(report.pictures) > 1
    for chart in charts:
        assert set(chart) == {"name", "title", "sentence", "key", "spoken", "files"}
        assert chart["sentence"].startswith("INVENTED DATA.")
        assert any(letter.isdigit() for letter in chart["spoken"])
        assert sorted(Path(file).suffix for file in chart["files"]) == [".png", ".svg"]
        assert all(Path(file).is_file() for file in chart["files"])
    written = said["written"]
    assert isinstance(written, list)
    assert all(Path(file).is_file() for file in written)


def test_the_readme_names_every_key() -> None:
    told = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    line = told[told.index("`report --json`") :].split("\n\n")[0]
    assert all(f"`{key}`" in line for key in KEYS)
