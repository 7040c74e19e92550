"""Blocks, combinations and seasons as the season page tells them."""

from __future__ import annotations

import numpy as np
import pandas as pd

from takestats.answers.group_takes import group_takes
from takestats.models.fit import fit_take
from takestats.pages.parts import SeasonReport
from takestats.pages.render import page_bytes
from takestats.pages.season_page import season_report
from takestats.records.read import records_from_frame
from tests.pages.page_words import page_words


def _frame(trays: int, **columns: object) -> pd.DataFrame:
    rng = np.random.default_rng(8)
    frame = pd.DataFrame({"tray": [f"T{i:02d}" for i in range(trays)]}).assign(**columns)
    frame["taken"] = rng.binomial(30, np.where(frame["method"] == "cleft", 0.75, 0.9))
    made = {"season": "2026", "grafted": 30, "count_date": "2026-06-15"}
    return frame.assign(**{name: value for name, value in made.items() if name not in columns})


def _three_seasons() -> pd.DataFrame:
    seasons = np.repeat([2024, 2025, 2026], 8)
    frame = _frame(24, method=["cleft", "side veneer"] * 12, season=seasons)
    return frame.assign(count_date=[f"{season}-06-15" for season in seasons])


def _report(frame: pd.DataFrame) -> SeasonReport:
    return season_report(records_from_frame(frame, trial={"compare": {"factors": ["method"]}}))


def _words(report: SeasonReport) -> str:
    return page_words(page_bytes(report).decode("utf-8"))


def test_a_method_given_to_whole_days_is_said_on_the_bench_sheet() -> None:
    frame = _frame(12, method=["cleft"] * 6 + ["side veneer"] * 6)
    frame["graft_date"] = np.repeat(["2026-01-06", "2026-01-07", "2026-01-08", "2026-01-09"], 3)
    report = _report(frame)
    assert (
        "Method was given to whole days (2 days of cleft and 2 days of side veneer): these days "
        "cannot tell method from the day." in report.sentences
    )
    words = _words(report)
    assert "Days above the trays" in words
    assert "Above the trays stand 4 days: trays of one day share its effect." in words
    assert "cleft | method | 2 | 6 | yes" in words
    assert "4 days; so few rest on an assumed range of their spread." in words
    assert "from day to day | " in words
    assert "Trays stand in days" in words
    assert "Four models are fitted" not in words


def test_both_methods_in_every_block_say_nothing_on_the_bench_sheet() -> None:
    frame = _frame(12, method=["cleft", "side veneer"] * 6, block=list("AABBCCDDEEFF"))
    report = _report(frame)
    assert "whole blocks" not in report.in_words()
    assert report.tables["layer_units"]["units"].tolist() == [6, 6]
    assert "Blocks above the trays" in _words(report)


def test_combinations_stand_shrunk_beside_unshrunk_with_a_new_one() -> None:
    scions = ["Hamamelis mollis", "Hamamelis japonica", "Hamamelis vernalis", "Carpinus betulus"]
    frame = _frame(16, method=["cleft", "side veneer"] * 8, scion=np.repeat(scions, 4))
    frame["understock"] = ["Hamamelis virginiana"] * 12 + ["Carpinus betulus"] * 4
    records = records_from_frame(frame, trial={"compare": {"factors": ["method"]}})
    report = season_report(records)
    table = report.tables["take_by_combination_shrunk"]
    alone = group_takes(fit_take(records, [], grouping="combination"))
    pd.testing.assert_frame_equal(table, alone.table)
    words = _words(report)
    assert "combination | shrunk take (95 % interval) | unshrunk take (95 % interval)" in words
    assert "A new combination of this kind, not yet tried: " in words
    assert len(report.tables["take_of_a_new_combination"]) == 1


def test_two_combinations_have_no_such_section() -> None:
    frame = _frame(12, method=["cleft", "side veneer"] * 6)
    frame["scion"] = ["Hamamelis mollis", "Hamamelis japonica"] * 6
    frame["understock"] = "Hamamelis virginiana"
    assert "take_by_combination_shrunk" not in _report(frame).tables


def test_every_tray_its_own_combination_is_said() -> None:
    frame = _frame(6, method=["cleft", "side veneer"] * 3, understock="Hamamelis virginiana")
    frame["scion"] = [f"Hamamelis mollis 'Lamp {letter}'" for letter in "ABCDEF"]
    words = _words(_report(frame))
    assert "The combinations are not drawn to their mean: every tray is a combination" in words


def test_several_seasons_are_told_one_by_one_and_never_added() -> None:
    frame = _frame(
        24, method=["cleft", "side veneer"] * 12, season=np.repeat([2024, 2025, 2026], 8)
    )
    frame["count_date"] = [f"{season}-06-15" for season in frame["season"]]
    report = _report(frame)
    inside = report.tables["difference_by_method_within_season"]
    assert inside["trays_a"].tolist() == [4, 4, 4]
    assert len(report.tables["difference_of_differences_by_method_within_season"]) == 3
    assert report.tables["take_overall"].loc[0, "trays"] == 8
    assert report.tables["next_season"].loc[0, "seasons"] == 3
    assert any(line.startswith("Next season: of 100 grafts") for line in report.sentences)
    assert "or more with 90 % probability, if it is a season like the 3 on record" in _words(report)


def test_a_season_that_lacks_a_method_is_named() -> None:
    frame = _frame(
        24, method=["cleft", "side veneer"] * 12, season=np.repeat([2024, 2025, 2026], 8)
    )
    frame["count_date"] = [f"{season}-06-15" for season in frame["season"]]
    frame.loc[frame["season"] == 2024, "method"] = "cleft"
    report = _report(frame)
    assert "No counted tray of side veneer in 2024" in _words(report)
    assert len(report.tables["difference_by_method_within_season"]) == 2


def test_one_season_has_no_story() -> None:
    report = _report(_frame(8, method=["cleft", "side veneer"] * 4))
    assert "next_season" not in report.tables
    assert "Next season" not in report.in_words()
