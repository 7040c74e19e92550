"""Trays on their benches, as they stand on the page."""

from __future__ import annotations

import re

import pandas as pd

from takestats.pages.parts import Cells, Picture, SeasonReport, Section, Words
from takestats.pages.season_page import season_report
from takestats.records.read import records_from_frame
from tests.pages.small_seasons import SETTINGS, small_records


def section_of(report: SeasonReport) -> Section:
    return next(section for section in report.sections if section.key == "bench-map")


def test_nothing_recorded_is_said_and_two_trays_alike_are_told(small_report: SeasonReport) -> None:
    section = section_of(small_report)
    said = [block.text for block in section.blocks if isinstance(block, Words)]
    assert said[0].startswith("Of two trays treated alike, one may take ")
    assert said[1] == "Where the trays stood: not recorded."
    assert not [block for block in section.blocks if isinstance(block, Picture)]
    assert "tray_pairs" in small_report.tables
    assert "tray_places" not in small_report.tables


def test_the_numbers_of_the_sentence_are_those_of_the_table(small_report: SeasonReport) -> None:
    row = small_report.tables["tray_pairs"].iloc[0]
    said = section_of(small_report).words[0]
    numbers = [float(number) for number in re.findall(r"\d+(?:\.\d)?", said)]
    expected = [row["poorer"] * 100, row["better"] * 100, 100, row["apart_wide"] * 100]
    assert all(abs(a - b) <= 0.5 for a, b in zip(numbers, expected, strict=True))


def test_benches_are_counted_and_every_tray_stands_on_a_chart() -> None:
    places = [f"A{n + 1}" for n in range(21)]
    report = season_report(small_records(bench=["south"] * 10 + ["north"] * 11, position=places))
    section = section_of(report)
    charts = [block.chart for block in section.blocks if isinstance(block, Picture)]
    assert len(charts) == 1
    assert charts[0].sentence.startswith("INVENTED DATA.")
    table = report.tables["tray_places"]
    assert len(table) == 16  # the tray that is not counted yet stands elsewhere on the page
    for row in table.to_dict("records"):
        assert f"{row['tray_id']} {row['taken']:.0f} of {row['tried']:.0f}" in charts[0].spoken
    cells = next(block for block in section.blocks if isinstance(block, Cells))
    assert [row[:2] for row in cells.rows] == [("north", "6"), ("south", "10")]
    assert "T16 (low)" in cells.rows[0][3]


def test_a_season_of_many_trays_draws_three_charts_and_says_what_is_left() -> None:
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": [f"T{n:03d}" for n in range(600)],
            "bench": [f"bench {n // 60}" for n in range(600)],
            "position": [str(n % 60 + 1) for n in range(600)],
            "grafted": 30,
            "taken": [22 + n % 8 for n in range(600)],
            "count_date": "2026-06-16",
        }
    )
    report = season_report(records_from_frame(frame, trial={**SETTINGS, "compare": {}}))
    section = section_of(report)
    assert sum(isinstance(block, Picture) for block in section.blocks) == 3
    assert "stand in tables/tray_places.csv" in " ".join(section.words)
    assert len(report.tables["tray_places"]) == 600


def test_without_trays_there_is_no_such_section() -> None:
    frame = pd.DataFrame(
        {"season": "2026", "method": ["cleft", "saddle"], "grafted": 40, "taken": 30}
    )
    settings = {**SETTINGS, "records": {"trays": "none"}, "compare": {}}
    report = season_report(records_from_frame(frame, trial=settings))
    assert "bench-map" not in [section.key for section in report.sections]
