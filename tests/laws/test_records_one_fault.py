"""A sound sheet has no fault; one fault planted in it is told once, at its cell."""

from __future__ import annotations

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.errors import RecordsError
from takestats.records.read import records_from_frame
from takestats.wording.faults import FAULTS
from tests.records.planted import PLANTED, SHEETS, Planted, plant

OF_THE_FILE = {"long_row", "swallowed_rows", "not_on_record_sheet"}
"""Rules of a file of text, or of several sheets, which a data frame cannot break: see
test_files.py and test_count_sheets.py."""
IDS = [f"{p.code}-{p.column}-{i}" for i, p in enumerate(PLANTED)]


def problems_of(
    sheet: list[dict[str, str]], settings: dict[str, object]
) -> tuple[pd.DataFrame, bool]:
    try:
        records = records_from_frame(pd.DataFrame(sheet), trial=settings)
    except RecordsError as refused:
        return refused.problems, True
    return records.problems, False


@settings(max_examples=6)
@given(size=st.integers(2, 7), shape=st.sampled_from(sorted(SHEETS)))
def test_a_sound_sheet_has_no_problem(size: int, shape: str) -> None:
    problems, stopped = problems_of(SHEETS[shape](size), {})
    assert not stopped
    assert problems.empty


@pytest.mark.parametrize("fault", PLANTED, ids=IDS)
@settings(max_examples=2)
@given(size=st.integers(3, 6), place=st.integers(0, 5))
def test_one_fault_is_one_problem_at_its_cell(fault: Planted, size: int, place: int) -> None:
    sheet, row, column = plant(fault, size, place % size)
    problems, stopped = problems_of(sheet, fault.settings)
    assert problems[["row", "column"]].to_numpy().tolist() == [[row, column]]
    assert problems["kind"].tolist() == [FAULTS[fault.code].kind]
    assert stopped == (FAULTS[fault.code].kind == "error")
    rule = FAULTS[fault.code].rule.split("{")[0]
    assert problems["rule"].iloc[0].startswith(rule)


@settings(max_examples=20)
@given(
    pair=st.lists(st.integers(0, len(PLANTED) - 1), min_size=2, max_size=2, unique=True),
    where=st.lists(st.integers(0, 6), min_size=2, max_size=2, unique=True),
)
def test_two_faults_in_two_rows_are_both_told(pair: list[int], where: list[int]) -> None:
    first, second = (PLANTED[i] for i in pair)
    if first.shape != "wide" or second.shape != "wide" or first.copied or second.copied:
        return
    if first.settings or second.settings or first.everywhere or second.everywhere:
        return
    if first.header or second.header:
        return
    if "short_name" in (first.code, second.code) or first.code == second.code == "height_words":
        return
    sheet, row, column = plant(first, 7, where[0])
    other, other_row, other_column = plant(second, 7, where[1])
    sheet[where[1]] = other[where[1]]
    problems, _ = problems_of(sheet, {})
    told = sorted(problems[["row", "column"]].to_numpy().tolist())
    assert told == sorted([[row, column], [other_row, other_column]])


@settings(max_examples=12)
@given(index=st.integers(0, len(PLANTED) - 1), where=st.integers(0, 4))
def test_setting_aside_leaves_the_sound_rows_as_they_were(index: int, where: int) -> None:
    fault = PLANTED[index]
    if FAULTS[fault.code].kind != "error" or fault.shape != "wide" or fault.header:
        return
    sheet, _, _ = plant(fault, 5, where)
    kept = records_from_frame(pd.DataFrame(sheet), trial=fault.settings, set_aside=True)
    assert len(kept.table) + len(kept.set_aside) == len(sheet)
    assert len(kept.problems) == 1
    assert kept.trays["taken"].sum() <= 25 * 5
    assert any("set aside" in note for note in kept.notes)


def test_every_rule_has_its_planted_fault() -> None:
    planted = {fault.code for fault in PLANTED}
    assert set(FAULTS) - planted == OF_THE_FILE
