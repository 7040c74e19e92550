from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pandas as pd
import pytest

from takestats.errors import CountsError
from takestats.records.contract import check_contract, keeps_the_contract, trays_schema
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

    assert not keeps_the_contract(trays)


#: What could be wrong with a column: another type, no column, two of them, cells out of bounds.
CHANGES: dict[str, Callable[[pd.DataFrame, str], pd.DataFrame]] = {
    "nothing": lambda t, name: t,
    "as objects": lambda t, name: t.astype({name: object}),
    "as the other text type": lambda t, name: t.astype({name: "string"}),
    "gone": lambda t, name: t.drop(columns=name),
    "twice": lambda t, name: pd.concat([t, t[[name]]], axis=1),
    "blank": lambda t, name: _with_cell(t, name, None),
    "another word": lambda t, name: _with_cell(t, name, "middle"),
    "below": lambda t, name: _with_cell(t, name, -0.5),
    "zero": lambda t, name: _with_cell(t, name, 0),
    "above": lambda t, name: _with_cell(t, name, 1e7),
    "without end": lambda t, name: _with_cell(t, name, float("inf")),
    "turned": lambda t, name: _with_cell(t, name, t[name].iloc[1]),
    "no rows": lambda t, name: t.iloc[:0],
}


def _with_cell(table: pd.DataFrame, name: str, value: Any) -> pd.DataFrame:
    """The table with another value in the first cell of a column, of its type where it can be."""
    column = table[name].astype(object)
    column.iloc[0] = value
    try:
        return table.assign(**{name: column.astype(table[name].dtype)})
    except (TypeError, ValueError, OverflowError):
        return table.assign(**{name: column})


#: A column of each sort: text that must be there, text, a word, a number, a mark, a count of rows.
SORTS = ("tray_id", "season", "method", "made_by", "scion_wood", "buds", "grafted", "taken",
         "missing", "counted", "line", "day_of_season")  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_the_plain_look_lets_nothing_pass_that_the_schema_stops(
    trays: pd.DataFrame, change: str
) -> None:
    """Held against the library of schemas, column by column; in doubt it may ask too often."""
    kept = 0
    for name in SORTS:
        changed = CHANGES[change](trays.copy(), name)
        if keeps_the_contract(changed):
            kept += 1
            trays_schema().validate(changed, lazy=True)
    assert (kept == 0) is (change in ("as objects", "as the other text type", "twice"))
    assert kept < len(SORTS) or change in ("nothing", "no rows")


def test_two_lines_may_not_share_a_number(trays: pd.DataFrame) -> None:
    trays["line"] = 0
    with pytest.raises(CountsError, match="line"):
        check_contract(trays)


def test_blank_text_is_missing_not_a_word() -> None:
    assert text_series(["a", None]).isna().tolist() == [False, True]
