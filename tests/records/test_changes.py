from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.records.changes import CHANGE_COLUMNS, changes_table, same_cell


@pytest.mark.parametrize(
    ("typed", "became", "number", "same"),
    [
        ("cleft", "cleft", False, True),
        ("20", "20", True, True),
        ("20.0", "20", True, True),
        ("20.0", "20", False, False),
        ("  ", "", False, True),
        ("NA", "", False, False),
        (" 20", "20", True, False),
        ("9,5", "9.5", True, False),
        ("٣", "3", True, False),
    ],
)
def test_what_counts_as_read_as_it_stood(typed: str, became: str, number: bool, same: bool) -> None:
    assert same_cell(typed, became, number=number) is same


def test_a_cell_has_one_line_with_all_its_reasons() -> None:
    origin = pd.DataFrame({"file": "a", "sheet": "", "row": [2, 3, 4]})
    typed = {"method": np.array([" SV", "NA", "x"], dtype=object)}
    became = {"method": np.array(["side veneer", None, None], dtype=object)}
    whys = {"method": np.array(["word for the graft", None, None], dtype=object)}
    out = {"*": np.zeros(3, dtype=bool), "method": np.array([False, False, True])}
    table = changes_table(origin, typed, became, whys, out)
    assert tuple(table.columns) == CHANGE_COLUMNS
    assert table[["row", "typed", "became", "why"]].to_numpy().tolist() == [
        [2, " SV", "side veneer", "word for the graft"],
        [3, "NA", "", "a word for blank"],
    ]


def test_no_change_is_an_empty_table() -> None:
    origin = pd.DataFrame({"file": ["a"], "sheet": [""], "row": [2]})
    cells = {"method": np.array(["cleft"], dtype=object)}
    table = changes_table(origin, cells, cells, {}, {"*": np.zeros(1, dtype=bool)})
    assert tuple(table.columns) == CHANGE_COLUMNS
    assert table.empty
