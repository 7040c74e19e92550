"""Whatever stands in the cells, the answer is records or faults in four parts."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

import pandas as pd
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.errors import RecordsError, TakeError
from takestats.records.read import read_records, records_from_frame
from takestats.records.result import Records
from tests.records.cell_by_cell import hold_cell_by_cell
from tests.records.planted import graft_sheet, long_sheet, wide_sheet

CELLS = st.one_of(
    st.sampled_from(
        ["", "0", "20", "-1", "1/2", "3/8 in", "8-Mar", "2026-02", "2026-02-03", "Feb 2026", "whip",
         "Total", "tray", "taken", "all", "38?", "first", "settled", "cutting", "yes", "A on B",
         "2026", "2025-26", "×", "'", "Hamamelis", "low", "1e9", "∞", "½", "NA", "T1", "T2",
         " cleft ", "20.0", "SV", "y", "hamamelis mollis", "Hamamelis MOLLIS", "North", "-", "=A1",
         "#REF!", "46056", "6-8 mm"]
    ),
    st.text(max_size=8),
)  # fmt: skip
SHEETS = st.sampled_from([wide_sheet, long_sheet, graft_sheet])


def changed(make: object, cells: list[tuple[int, int, str]]) -> pd.DataFrame:
    sheet = make(3)  # type: ignore[operator]
    names = list(sheet[0])
    for row, column, text in cells:
        sheet[row % len(sheet)][names[column % len(names)]] = text
    return pd.DataFrame(sheet)


def answer(read: Callable[[], Records]) -> Records | None:
    """The records, or None after a refusal that has all its parts."""
    refused: TakeError | None = None
    try:
        return read()
    except TakeError as fault:
        refused = fault
    assert refused.where
    assert refused.what
    assert refused.rule
    assert refused.next_step
    if isinstance(refused, RecordsError):
        assert len(refused.problems)
    return None


@settings(max_examples=20)
@given(
    make=SHEETS,
    cells=st.lists(st.tuples(st.integers(0, 50), st.integers(0, 50), CELLS), max_size=8),
    set_aside=st.booleans(),
)
def test_no_cell_makes_it_stumble(
    make: object, cells: list[tuple[int, int, str]], set_aside: bool
) -> None:
    records = answer(lambda: records_from_frame(changed(make, cells), set_aside=set_aside))
    if records is None:
        return
    trays = records.trays
    assert not (trays["taken"] > trays["grafted"]).any()
    assert trays["line"].is_unique
    if not set_aside:
        assert not (records.problems["kind"] == "error").any()
    problems = records.problems
    assert not problems.duplicated(["file", "sheet", "row", "column"]).any()


@settings(max_examples=20)
@given(
    make=SHEETS,
    cells=st.lists(st.tuples(st.integers(0, 50), st.integers(0, 50), CELLS), max_size=8),
    fill_down=st.booleans(),
)
def test_nothing_is_changed_without_a_line_that_says_so(
    make: object, cells: list[tuple[int, int, str]], fill_down: bool
) -> None:
    frame = changed(make, cells)
    records = answer(
        lambda: records_from_frame(frame, trial={"fill_down": fill_down}, set_aside=True)
    )
    if records is None:
        return
    typed = {
        ("", row, "taken" if name == "alive" else name): text
        for row, texts in enumerate(frame.to_dict("records"), start=1)
        for name, text in texts.items()
    }
    hold_cell_by_cell(records, typed)


@settings(max_examples=40)
@given(content=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
def test_no_file_makes_it_stumble(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name in ("a.csv", "a.xlsx", "a.parquet"):
            path = Path(folder) / name
            path.write_bytes(content)
            answer(lambda path=path: read_records(path))  # type: ignore[misc]


@settings(max_examples=6)
@given(order=st.permutations(range(5)))
def test_the_order_of_the_rows_changes_no_count(order: list[int]) -> None:
    sheet = wide_sheet(5)
    for i, row in enumerate(sheet):
        row["taken"] = str(20 + i)
        row["alive_later"] = row["later_count_date"] = ""
    before = records_from_frame(pd.DataFrame(sheet)).trays.set_index("tray_id")["taken"]
    after = records_from_frame(pd.DataFrame([sheet[i] for i in order])).trays
    pd.testing.assert_series_equal(before, after.set_index("tray_id")["taken"].sort_index())


@settings(max_examples=6)
@given(taken=st.lists(st.integers(0, 1), min_size=4, max_size=12))
def test_single_grafts_say_the_same_as_their_tray(taken: list[int]) -> None:
    size = len(taken)
    single = records_from_frame(
        pd.DataFrame({"tray": "A", "graft": range(size), "method": "cleft", "taken": taken})
    ).trays
    whole = records_from_frame(
        pd.DataFrame({"tray": ["A"], "method": ["cleft"], "grafted": [size], "taken": [sum(taken)]})
    ).trays
    pd.testing.assert_frame_equal(single, whole)
