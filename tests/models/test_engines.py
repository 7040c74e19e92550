"""Distinct levels and tray numbers say what a look at every line says."""

from __future__ import annotations

import numpy as np
import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.models.design import Design
from takestats.models.engines import distinct_patterns, patterns_of
from takestats.models.grid import level_trays
from takestats.models.lines import make_lines
from takestats.records.read import records_from_frame

LEVELS = st.sampled_from(["cleft", "side veneer", "whip and tongue"])


@settings(max_examples=20)
@given(st.lists(st.tuples(st.integers(0, 5), LEVELS, st.integers(0, 9)), min_size=1, max_size=30))
def test_trays_by_level_are_those_of_a_group_by(rows: list[tuple[int, str, int]]) -> None:
    frame = pd.DataFrame(rows, columns=["tray", "method", "taken"]).assign(grafted=10)
    frame = frame.drop_duplicates(["tray", "method"])
    records = records_from_frame(frame)
    lines = make_lines(records, ["method"], season="auto", count=None, out_of="made")
    grouped = lines.table.groupby("method", sort=False)["tray_id"].nunique()
    assert lines.trays_by_level("method") == grouped.to_dict()
    assert lines.trays == lines.table["tray_id"].nunique()


@given(st.lists(st.tuples(LEVELS, st.sampled_from(["a", "b"])), min_size=1, max_size=30))
def test_distinct_patterns_are_those_of_all_lines(rows: list[tuple[str, str]]) -> None:
    table = pd.DataFrame(rows, columns=["method", "shelf"])
    design = Design(factors=("method", "shelf"), levels={}, curves=(), interactions=())
    every = patterns_of(table, design)
    distinct, at = distinct_patterns(table, design)
    assert distinct == list(dict.fromkeys(every))
    assert [distinct[i] for i in at] == every


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=1, max_size=60))
def test_like_trays_are_gathered_as_by_sorting(counts: list[tuple[int, int]]) -> None:
    pairs = np.array([(min(a, b), max(a, b)) for a, b in counts], dtype=float)
    found = level_trays(pairs[:, 0], pairs[:, 1], 1)
    distinct, times = np.unique(pairs, axis=0, return_counts=True)
    np.testing.assert_array_equal(np.column_stack([found.taken, found.tried]), distinct)
    np.testing.assert_array_equal(found.times, times)
