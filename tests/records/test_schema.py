from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.records.columns import BY_NAME, COLUMNS
from takestats.records.problems import FaultLog
from takestats.records.schema import breaches, cells_schema, hold_against_declarations

LIMITED = [c for c in COLUMNS if c.low is not None]
WORDED = [c for c in COLUMNS if c.words]


def log_of(size: int) -> FaultLog:
    return FaultLog(pd.DataFrame({"file": "a", "sheet": "", "row": np.arange(size)}), {})


@pytest.mark.parametrize("column", LIMITED, ids=[c.name for c in LIMITED])
def test_every_declared_limit_is_a_rule_of_the_schema(column: object) -> None:
    name = column.name  # type: ignore[attr-defined]
    low, high = BY_NAME[name].low, BY_NAME[name].high
    assert low is not None
    assert high is not None
    values = {name: np.array([low, high, low - 0.1, high + 0.1, np.nan])}
    log = log_of(5)
    hold_against_declarations(values, log)
    problems = log.problems()
    errors = problems.loc[problems["kind"] == "error", "row"].tolist()
    assert errors == [2, 3]
    assert np.isnan(values[name]).tolist() == [False, False, True, True, True]


@pytest.mark.parametrize("column", WORDED, ids=[c.name for c in WORDED])
def test_every_list_of_words_is_a_rule_of_the_schema(column: object) -> None:
    name = column.name  # type: ignore[attr-defined]
    words = list(BY_NAME[name].words)
    frame = pd.DataFrame({name: pd.Series([*words, "gibberish", None], dtype="str")})
    ((code, told, rows),) = breaches(frame, cells_schema((name,)))
    assert (code, told, rows.tolist()) == ("not_in_list", name, [len(words)])


def test_the_schema_carries_the_declaration() -> None:
    made = cells_schema(("understock_caliper_mm",)).columns["understock_caliper_mm"]
    assert made.metadata["unit"] == "mm"
    assert "stock caliper" in made.metadata["synonyms"]
    assert made.metadata["source"] == BY_NAME["understock_caliper_mm"].source


def test_every_column_says_what_it_means_and_where_that_comes_from() -> None:
    for column in COLUMNS:
        assert column.meaning, column.name
        assert column.source, column.name
        assert (column.low is None) == (column.high is None), column.name
        assert bool(column.unit) == (column.kind in ("whole", "length", "height")), column.name
