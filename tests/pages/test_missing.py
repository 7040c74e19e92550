"""What missing grafts could change is said when they are many."""

from __future__ import annotations

import pandas as pd
import pytest

from takestats.pages.missing import many_missing
from takestats.pages.season_page import season_report
from takestats.records.read import records_from_frame
from tests.pages.small_seasons import SETTINGS, rows


@pytest.mark.parametrize(
    ("missing", "many"),
    [((0, 0), False), ((1, 1), False), ((6, 6), True), ((0, 5), True), ((None, None), False)],
)
def test_many_is_over_five_percent_or_five_points_apart(missing, many) -> None:
    table = pd.DataFrame({"missing": missing, "grafted": [100, 100]}).astype(float)
    assert many_missing(table) is many


def test_the_extremes_stand_on_both_sides() -> None:
    frame = pd.DataFrame(rows())
    here = (frame["season"] == "2026") & (frame["method"] == "side veneer")
    frame.loc[here, "missing"] = 5
    frame.loc[here, "taken"] = frame.loc[here, "taken"] - 5
    frame["understock_dead"] = 0
    report = season_report(records_from_frame(frame, trial=SETTINGS))
    left_out, failed, taken = (
        report.tables[name].loc[0, "difference"]
        for name in (
            "difference_by_method",
            "difference_if_missing_failed",
            "difference_if_missing_taken",
        )
    )
    assert failed < left_out < taken
    assert any(line.startswith("Missing grafts: side veneer minus") for line in report.sentences)
