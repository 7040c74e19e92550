"""Coefficients as the model has them, and words that are on the page."""

from __future__ import annotations

import math

import numpy as np
import pytest

from takestats.pages.parts import Cells, SeasonReport, Section
from takestats.pages.season_page import season_report
from takestats.wording.glossary import GLOSSARY
from tests.pages.small_seasons import small_records


def section_of(report: SeasonReport, key: str) -> Section:
    return next(section for section in report.sections if section.key == key)


def test_coefficients_stand_on_the_page_and_in_their_table(small_report: SeasonReport) -> None:
    table = small_report.tables["coefficients"]
    assert list(table.columns) == ["factor", "level", "against", "log_odds", "low", "high"]
    cells = next(b for b in section_of(small_report, "coefficients").blocks if isinstance(b, Cells))
    assert len(cells.rows) == len(table) == 2
    for shown, row in zip(cells.rows, table.to_dict("records"), strict=True):
        middle, low, high = (f"{row[name]:.2f}" for name in ("log_odds", "low", "high"))
        assert shown[3] == f"{middle} ({low} to {high})"
        assert row["low"] < row["log_odds"] < row["high"]


def test_a_coefficient_is_near_the_log_odds_ratio_of_the_counts(small_report: SeasonReport) -> None:
    """By plain arithmetic from the counts typed in small_seasons.py: 194 and 211 of 240."""
    row = small_report.tables["coefficients"].set_index("factor").loc["method"]
    assert (row["level"], row["against"]) == ("side veneer", "cleft")
    counted = math.log((211 / 29) / (194 / 46))
    assert row["low"] < counted < row["high"]
    assert np.sign(row["log_odds"]) == np.sign(counted)


def test_every_word_is_told_in_one_sentence(small_report: SeasonReport) -> None:
    cells = next(b for b in section_of(small_report, "glossary").blocks if isinstance(b, Cells))
    assert cells.rows == GLOSSARY
    for word, meaning in GLOSSARY:
        assert meaning[-1] != ".", word
        assert ". " not in meaning.replace("95 %. ", ""), word
        assert 20 < len(meaning) < 260, word
    assert len({word for word, _ in GLOSSARY}) == len(GLOSSARY)


def test_the_comparison_has_them_too(small_comparison: SeasonReport) -> None:
    assert section_of(small_comparison, "glossary")
    assert "coefficients" in small_comparison.tables


def test_without_factors_there_are_words_and_no_coefficients() -> None:
    report = season_report(small_records(method=None, scion_wood=None, scion=None, understock=None))
    assert section_of(report, "glossary")
    with pytest.raises(StopIteration):
        section_of(report, "coefficients")
    assert "coefficients" not in report.tables
