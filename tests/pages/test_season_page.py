"""The season page: what it says, that it stands alone, that it is the same each time."""

from __future__ import annotations

import csv
import io
import os
import re
from pathlib import Path

import pandas as pd
import pytest

from takestats.errors import FileError, TakeError
from takestats.pages.csv_tables import csv_bytes
from takestats.pages.parts import SeasonReport
from takestats.pages.render import page_bytes
from takestats.pages.season_page import (
    season_report,
    season_sentences,
    write_report,
    write_season,
)
from tests.pages.page_words import page_words
from tests.pages.small_seasons import SETTINGS, small_records

PINNED = Path(__file__).with_name("season_page_words.txt")


@pytest.fixture(scope="module")
def report(small_report: SeasonReport) -> SeasonReport:
    return small_report


@pytest.fixture(scope="module")
def html(small_report: SeasonReport) -> str:
    return page_bytes(small_report).decode("utf-8")


def _bench(html: str) -> str:
    return page_words(html[html.index('<article id="bench"') : html.index('<article id="season"')])


def test_the_words_of_the_page_are_the_pinned_ones(html: str) -> None:
    """Pinned by running with TAKESTATS_PIN=1 and reading the difference like code."""
    words = page_words(html)
    if os.environ.get("TAKESTATS_PIN"):
        PINNED.write_text(words, encoding="utf-8")
    assert words == PINNED.read_text(encoding="utf-8")


def test_the_first_line_says_that_the_data_are_invented(html: str, report: SeasonReport) -> None:
    words = page_words(html[html.index("<body>") :])
    assert words.startswith("INVENTED DATA")
    assert report.banner.startswith("INVENTED DATA")
    for caption in re.findall(r"<figcaption>(.*?)<span>", html, flags=re.DOTALL):
        assert caption.startswith("INVENTED DATA.")
    for name, table in report.tables.items():
        first = csv_bytes(table, report.table_notes[name]).decode("utf-8-sig").splitlines()[0]
        assert "INVENTED DATA" in first


def test_the_page_stands_alone(html: str) -> None:
    assert "default-src 'none'" in html
    assert "<script" not in html.lower()
    assert not re.search(r'(src|href)="(?!#)', html.replace('xlink:href="#', 'href="#'))
    assert "url(http" not in html
    addresses = set(re.findall(r"https?://[^\s\"<]+", html))
    assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
    assert len(html.encode()) < 3_000_000


def test_identifiers_are_used_once_and_every_link_has_its_place(html: str) -> None:
    ids = re.findall(r'\bid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'<a href="#([^"]+)"', html)) <= set(ids)


def test_every_drawing_can_be_read_aloud(html: str) -> None:
    drawings = html.split("<svg ")[1:]
    assert drawings
    for drawing in drawings:
        assert 'role="img"' in drawing
        assert re.search(r"<title id=[^>]+>.+?</title>", drawing)
        assert re.search(r"<desc id=[^>]+>.+?\d.+?</desc>", drawing)


def test_the_bench_part_has_no_p_values_and_no_odds_ratios(html: str) -> None:
    bench = _bench(html).lower()
    for word in ("odds", "p-value", " p ", "p =", "holm", "intra-tray", "log "):
        assert word not in bench


@pytest.mark.parametrize(
    "mark", ["[T.", "C(", " ~ ", "method:scion", "significan", "***", "ns)", "grafter a", "nan"]
)
def test_words_of_other_programs_never_appear(html: str, mark: str) -> None:
    words = page_words(html)
    assert mark not in words


def test_the_same_records_give_the_same_bytes_and_progress_is_told(
    tmp_path: Path, small_report: SeasonReport
) -> None:
    steps: list[str] = []
    first = write_season(small_report, tmp_path / "one")
    second = write_report(small_records(), tmp_path / "two", progress=steps.append)
    assert [path.name for path in first] == [path.name for path in second]
    for one, two in zip(first, second, strict=True):
        assert one.read_bytes() == two.read_bytes(), one.name
    assert steps[0].startswith("fitting")
    assert steps[-1] == "writing the page"


def test_every_file_is_written_and_the_page_comes_first(
    tmp_path: Path, report: SeasonReport
) -> None:
    paths = write_season(report, tmp_path / "out")
    assert paths[0].name == "season_page.html"
    assert paths[1].name == "season_tables.xlsx"
    tables = [path for path in paths if path.suffix == ".csv"]
    assert {path.stem for path in tables} == set(report.tables)
    assert all(path.parent.name == "tables" for path in tables)


def test_a_failure_while_drawing_leaves_no_file(
    tmp_path: Path, report: SeasonReport, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: object) -> bytes:
        raise FileError(where="x", what="y", rule="z", next_step="w")

    monkeypatch.setattr("takestats.pages.season_page.csv_bytes", broken)
    with pytest.raises(FileError):
        write_season(report, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def _numbers(sentence: str) -> list[tuple[float, int]]:
    """Numbers of a sentence with their decimals; the level of the interval is left out."""
    text = sentence.replace("95 % confidence interval", "").replace(",", "")
    found = re.findall(r"(?<![\w.-])\d+(?:\.\d+)?", text)
    return [(float(token), len(token.partition(".")[2])) for token in found]


def _among(value: float, decimals: int, table: list[float]) -> bool:
    half = 0.5 * 10.0**-decimals + 1e-9
    return any(abs(value - abs(entry) * scale) <= half for entry in table for scale in (1.0, 100.0))


def test_every_number_of_the_sentences_stands_in_the_tables(report: SeasonReport) -> None:
    """Recomputed here by plain arithmetic, not with the wording room."""
    overall = report.tables["take_overall"].iloc[0]
    columns = {
        "Season 2026": [
            overall[name]
            for name in ("grafted", "trays", "taken", "grafts", "take_rate", "low", "high")
        ]
        + [2026.0, 16.0, 100.0],
        "Season 2025 beside it": [
            2025.0,
            *report.tables["history_of_all_grafts"]
            .loc[0, ["taken", "tried", "trays", "raw_rate", "raw_low", "raw_high"]]
            .tolist(),
        ],
        "16 grafts were missing": [overall["missing"]],
        "No clear difference": [
            *_gaps(report.tables["difference_by_method"]),
            *_gaps(report.tables["difference_by_scion_wood"]),
            *(
                report.tables["difference_by_method"][f"{what}_{side}"].iloc[0]
                for what in ("trays", "grafts")
                for side in "ab"
            ),
        ],
        "Method: ": _gaps(report.tables["difference_by_method"]),
        "Scion wood: ": _gaps(report.tables["difference_by_scion_wood"]),
        "Look at this tray": [
            *report.tables["trays_to_look_at"]["taken"],
            *report.tables["trays_to_look_at"]["tried"],
            *report.tables["trays_to_look_at"]["expected_rate"],
        ],
        "No tray took": [3.0, *report.tables["take_by_method"]["trays"]],
        "Side veneer against cleft": [
            *(len(report.tables["difference_by_method_within_season"]), 0.0, 2025.0, 2026.0),
            *report.tables["difference_of_differences_by_method_within_season"]
            .loc[0, ["more", "wide_low", "wide_high"]]
            .tolist(),
        ],
        "Next season": [
            *report.tables["next_season"].loc[0, ["expected_take", "low", "seasons"]].tolist(),
            *(100.0, 0.9),
        ],
        "1 tray is not counted": [float(len(report.tables["not_counted_yet"]))],
    }
    looked = 0
    for sentence in report.sentences:
        numbers = _numbers(sentence)
        if not numbers:
            continue
        starts = [start for start in columns if sentence.startswith(start)]
        assert starts, f"no table behind: {sentence}"
        for value, decimals in numbers:
            assert _among(value, decimals, columns[starts[0]]), (value, sentence)
            looked += 1
    assert looked > 15


def _gaps(table: pd.DataFrame) -> list[float]:
    row = table.iloc[0]
    return [row["difference"], row["low"], row["high"]]


def test_the_test_of_numbers_can_fail() -> None:
    assert _among(6.0, 0, [0.062])
    assert not _among(7.0, 0, [0.062])
    assert _numbers("took 6 points more (95 % confidence interval 0.8 points)") == [
        (6.0, 0),
        (0.8, 1),
    ]


def test_the_difference_table_is_the_difference_of_the_take_table(report: SeasonReport) -> None:
    """Medians of draws are not additive to the last digit: half a point is allowed."""
    takes = report.tables["take_by_method"].set_index("method")["take_rate"]
    row = report.tables["difference_by_method"].iloc[0]
    assert row["level_b"] == "cleft"
    assert row["difference"] == pytest.approx(takes[row["level_a"]] - takes["cleft"], abs=0.005)


def test_raw_counts_are_those_of_the_records(report: SeasonReport) -> None:
    """Counted here from the rows typed in small_seasons.py."""
    table = report.tables["take_by_method"].set_index("method")
    assert table.loc["cleft", "taken"] == 24 + 27 + 25 + 26 + 21 + 25 + 22 + 24
    assert table.loc["cleft", "grafted"] == 8 * 31
    assert table.loc["cleft", "missing"] == 8
    assert table.loc["cleft", "raw_rate"] == pytest.approx(194 / 240, abs=1e-12)
    assert table.loc["cleft", "raw_rate_live"] == pytest.approx(194 / 232, abs=1e-12)


def test_earlier_seasons_are_history_and_not_in_the_takes(report: SeasonReport) -> None:
    history = report.tables["history_by_method"]
    assert set(history["season"].astype(str)) == {"2025", "2026"}
    assert report.tables["take_overall"].loc[0, "trays"] == 16
    assert report.tables["take_overall"].loc[0, "grafted"] == 16 * 31


def test_markup_and_formulas_in_names_stay_text(tmp_path: Path) -> None:
    records = small_records(
        donor='<img src=x onerror="alert(1)">', understock_lot="+HYPERLINK(1)", note="{{ 7 * 7 }}"
    )
    settings = {**SETTINGS, "title": "<b>bold</b> & {{ 7 * 7 }}"}
    paths = write_report(records, tmp_path, trial=settings)
    page = paths[0].read_text(encoding="utf-8")
    assert "<img" not in page
    assert "<b>bold" not in page
    assert "&lt;b&gt;bold&lt;/b&gt; &amp; {{ 7 * 7 }}" in page
    trays = (tmp_path / "tables" / "trays.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.reader(io.StringIO(trays, newline="")))
    assert "apostrophe" in rows[0][0]
    column = rows[1].index("understock_lot")
    assert {row[column] for row in rows[2:]} == {"'+HYPERLINK(1)"}


def test_without_a_lot_drawn_nothing_is_said_to_cause() -> None:
    settings = {**SETTINGS, "trial": {"standard": "cleft"}}
    said = " ".join(season_sentences(small_records(settings)))
    assert "seen together, not shown to cause" in said


def test_one_method_alone_is_said_and_the_rest_still_stands() -> None:
    frame = small_records().table
    assert "method" in frame.columns
    report = season_report(small_records(method="cleft"))
    assert any("Only one method is recorded (cleft)" in line for line in report.sentences)
    assert "difference_by_scion_wood" in report.tables


def test_a_season_without_anything_to_compare_still_gets_its_take() -> None:
    report = season_report(small_records(method=None, scion_wood=None, scion=None, understock=None))
    assert report.sentences[0].startswith("Season 2026: 496 grafts made in 16 trays")
    assert "difference_by_method" not in report.tables
    assert page_bytes(report)


def test_nothing_counted_is_told_in_four_parts() -> None:
    with pytest.raises(TakeError) as told:
        season_report(small_records(taken=None, count_date=None))
    assert told.value.next_step
