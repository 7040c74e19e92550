"""Which factors stand side by side, which on their own, which not at all, and is it said?"""

from __future__ import annotations

import pandas as pd
import pytest

from takestats.pages import factors, gather, missing
from takestats.pages.comparison_page import comparison_report
from takestats.pages.season_page import season_report
from takestats.records.read import records_from_frame
from tests.pages.small_seasons import SETTINGS, rows


def _settings(*names: str) -> dict[str, object]:
    return {**SETTINGS, "compare": {"factors": list(names)}}


def _this_season(**columns: list[object]) -> pd.DataFrame:
    """The sixteen counted trays of 2026, with further columns."""
    frame = pd.DataFrame(rows()).head(16)
    return frame.assign(**columns)


def test_of_two_that_go_together_the_later_is_dropped_and_what_follows_stays() -> None:
    """The donor goes wholly with the wood: rank 3 of 4 columns, so it cannot stay beside it."""
    frame = _this_season(union_height_mm=["low", "high"] * 8)
    frame["donor"] = frame["scion_wood"].map({"terminal": "bed A", "sub_terminal": "bed B"})
    settings = _settings("method", "scion_wood", "donor", "union_height_mm")
    report = season_report(records_from_frame(frame, trial=settings))
    said = report.in_words()
    assert "at the same mix of method, scion wood and union height." in said
    assert "Donor is looked at on its own (donor cannot be told apart from scion wood" in said
    assert "donor looked at on its own" in said
    assert len(report.tables["take_by_donor"]) == 2


def test_a_tray_with_two_levels_is_compared_inside_the_tray() -> None:
    frame = _this_season(donor=["bed A"] * 16)
    split = frame.head(2).assign(donor="bed B", grafted=10, missing=0, taken=8, understock_dead=0)
    both = records_from_frame(
        pd.concat([frame, split], ignore_index=True), trial=_settings("donor", "method")
    )
    report = season_report(both)
    assert report.tables["take_by_donor"]["trays"].tolist() == [16, 2]
    assert report.tables["layer_spread"]["what"].tolist() == ["tray", "row"]
    (layer,) = (section for section in report.sections if section.key == "layer")
    assert layer.heading == "Several rows in one tray"
    assert "difference_by_donor" in comparison_report(both, "donor").tables


def test_a_column_with_many_blanks_costs_the_others_no_tray() -> None:
    frame = _this_season(donor=["bed A", "bed B", None, None] * 4)
    report = season_report(records_from_frame(frame, trial=_settings("method", "donor")))
    assert "Donor is looked at on its own (50 % of the trays have it blank)." in report.sentences
    assert report.tables["take_by_method"]["trays"].sum() == 16
    assert report.tables["take_by_donor"]["trays"].sum() == 8


def test_blanks_in_the_main_question_are_named_first() -> None:
    frame = _this_season()
    frame.loc[[0, 9], "method"] = None
    report = season_report(records_from_frame(frame, trial=_settings("method")))
    assert report.sentences[0] == (
        "Left out of every comparison: 2 of 16 lines, because method is blank (2)."
    )
    assert report.tables["take_overall"].loc[0, "trays"] == 16


def test_at_most_six_fits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four columns that each go with the method, and missing grafts that ask for two fits more."""
    frame = _this_season()
    for name in ("donor", "understock_lot", "bench", "healing"):
        frame[name] = frame["method"].map({"cleft": f"{name} 1", "side veneer": f"{name} 2"})
    side = frame["method"] == "side veneer"
    frame.loc[side, "missing"] = 5
    frame.loc[side, "taken"] -= 5
    frame["understock_dead"] = 0
    fitted: list[list[str]] = []
    fit = factors.fit_take

    def counted(records, names, **asked):
        if asked.get("engine", "tray_model") == "tray_model":
            fitted.append(list(names))
        return fit(records, names, **asked)

    for module in (factors, gather, missing):
        monkeypatch.setattr(module, "fit_take", counted)
    settings = _settings("method", "donor", "understock_lot", "bench", "healing")
    report = season_report(records_from_frame(frame, trial=settings))
    assert len(fitted) == 6
    assert fitted[0] == ["method"]
    assert "Donor is looked at on its own" in report.in_words()
    assert "Healing is left out of the comparison" in report.in_words()
