from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from takestats.errors import CountsError
from takestats.records.contract import check_contract
from takestats.records.read import records_from_frame
from takestats.records.schema import text_series
from tests.records.planted import wide_sheet


@pytest.fixture
def trays() -> pd.DataFrame:
    return records_from_frame(pd.DataFrame(wide_sheet(3))).trays


def test_the_frame_that_is_handed_on_keeps_the_contract(trays: pd.DataFrame) -> None:
    pd.testing.assert_frame_equal(check_contract(trays), trays)


@pytest.mark.parametrize(
    ("column", "value"),
    [("taken", 31.0), ("taken", -1.0), ("counted", False), ("made_by", "seed"), ("missing", 6.0),
     ("tray_id", None), ("buds", 99.0), ("scion_wood", "middle")],
)  # fmt: skip
def test_a_breach_is_named(trays: pd.DataFrame, column: str, value: Any) -> None:
    trays.loc[1, column] = value
    with pytest.raises(CountsError, match="breaks its contract"):
        check_contract(trays)


def test_two_lines_may_not_share_a_number(trays: pd.DataFrame) -> None:
    trays["line"] = 0
    with pytest.raises(CountsError, match="line"):
        check_contract(trays)


def test_blank_text_is_missing_not_a_word() -> None:
    assert text_series(["a", None]).isna().tolist() == [False, True]
