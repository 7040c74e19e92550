"""One question, one page: a column, perhaps two of its levels."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from takestats.errors import DesignError, UnknownColumnError, UnknownLevelError
from takestats.pages.comparison_page import comparison_report, write_comparison
from takestats.pages.parts import SeasonReport
from takestats.records.read import records_from_frame
from tests.pages.small_seasons import SETTINGS, rows, small_records


def test_only_the_asked_column_is_answered(small_comparison: SeasonReport) -> None:
    report = small_comparison
    assert report.title == "Cleft or side veneer: take by scion wood, season 2026"
    assert "difference_by_scion_wood" in report.tables
    assert "difference_by_method" not in report.tables
    assert any(line.startswith("Scion wood: ") for line in report.sentences)
    assert not any(line.startswith("Method: ") for line in report.sentences)
    # The settings draw lots for what is on trial, the method; the wood is not put down to anything.
    assert "what is compared here is none of them" in report.in_words()


def test_between_sets_the_direction() -> None:
    first = comparison_report(small_records(), "method", between=("Cleft", "side-veneer"))
    row = first.tables["difference_by_method"].iloc[0]
    assert (row["level_a"], row["level_b"]) == ("cleft", "side veneer")
    second = comparison_report(small_records(), "method", between=("side veneer", "cleft"))
    turned = second.tables["difference_by_method"].iloc[0]
    # Medians are interpolated between the points of a curve: a hundredth of a point is allowed.
    assert turned["difference"] == pytest.approx(-row["difference"], abs=1e-4)
    odds = first.tables["odds_ratio_by_method"].iloc[0]
    other = second.tables["odds_ratio_by_method"].iloc[0]
    assert odds["odds_ratio"] == pytest.approx(1 / other["odds_ratio"], rel=1e-9)


def test_the_page_is_written_with_its_tables_and_the_others_make_takes_comparable(
    tmp_path: Path,
) -> None:
    paths = write_comparison(small_records(), tmp_path, "method")
    assert "at the same mix of scion wood" in paths[0].read_text(encoding="utf-8")
    assert paths[0].name == "comparison_page.html"
    assert (tmp_path / "tables" / "difference_by_method.csv").is_file()


def test_an_unknown_column_is_told_with_the_known_ones() -> None:
    with pytest.raises(UnknownColumnError) as told:
        comparison_report(small_records(), "colour")
    assert "method" in told.value.next_step


def test_an_unknown_level_is_told_with_the_known_ones() -> None:
    with pytest.raises(UnknownLevelError) as told:
        comparison_report(small_records(), "method", between=("cleft", "saddle"))
    assert "side veneer" in told.value.next_step


@pytest.mark.parametrize("between", [("cleft",), ("cleft", "cleft"), ()])
def test_two_different_levels_are_needed(between: tuple[str, ...]) -> None:
    with pytest.raises(UnknownLevelError):
        comparison_report(small_records(), "method", between=between)


def test_a_column_with_one_level_cannot_be_compared() -> None:
    with pytest.raises(DesignError) as told:
        comparison_report(small_records(method="cleft"), "method")
    assert "only cleft is recorded" in told.value.what


def test_a_plant_is_found_by_its_short_name_or_a_part_of_its_name() -> None:
    settings = {**SETTINGS, "names": {"moth": "Hamamelis x intermedia 'Copper Moth'"}}
    frame = pd.DataFrame(rows())
    frame.loc[frame.index % 2 == 0, "scion"] = "Carpinus betulus 'Grey Sentry'"
    records = records_from_frame(frame, trial=settings)
    report = comparison_report(records, "combination", between=("moth", "'Grey Sentry'"))
    row = report.tables["difference_by_combination"].iloc[0]
    assert row["level_a"].startswith("Hamamelis × intermedia 'Copper Moth' on")
    assert row["level_b"].startswith("Carpinus betulus 'Grey Sentry' on")


def test_many_levels_are_compared_with_one() -> None:
    frame = pd.DataFrame(rows())
    frame["donor"] = [f"bed {index % 6}" for index in range(len(frame))]
    report = comparison_report(records_from_frame(frame, trial=SETTINGS), "donor")
    assert len(report.tables["difference_by_donor"]) == 5
    assert report.tables["difference_by_donor"]["level_b"].nunique() == 1
