from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from takestats.errors import RecordsError
from takestats.records.problems import PROBLEM_COLUMNS, FaultLog, plain
from takestats.records.read import records_from_frame
from tests.records.planted import PLANTED, plant

MESSAGES = Path(__file__).parent / "messages.txt"


def told() -> str:
    """Every fault that can be planted, in a form that a person can proof-read."""
    lines = [
        "Every fault of the records, as it is told. Pinned by tests/records/test_problems.py;",
        "proof-read it when a text changes. Invented records.",
        "",
    ]
    for fault in PLANTED:
        sheet, row, column = plant(fault, 5, 3)
        try:
            records = records_from_frame(pd.DataFrame(sheet), trial=fault.settings)
            problems = records.problems
        except RecordsError as refused:
            problems = refused.problems
        (one,) = problems.to_dict("records")
        lines += [
            f'{one["kind"]}  row {row}, {column}: "{one["value"]}"',
            f"    Rule: {one['rule']}",
            f"    Next: {one['next_step']}",
            "",
        ]
    return "\n".join(lines)


def test_every_text_is_pinned_where_a_person_can_proof_read_it() -> None:
    assert told() == MESSAGES.read_text("utf-8")


def test_no_text_is_left_with_a_gap_or_a_code_word() -> None:
    text = MESSAGES.read_text("utf-8")
    for word in ("{", "}", "None", "nan", "NaN", "  Rule: \n", "[T.", "C(", " ~ "):
        assert word not in text


def log_of(size: int) -> FaultLog:
    origin = pd.DataFrame({"file": "a.csv", "sheet": "", "row": np.arange(2, size + 2)})
    typed = {"taken": np.array([f"{i}?" for i in range(size)], dtype=object)}
    return FaultLog(origin, typed)


def test_problems_are_sorted_and_one_per_cell() -> None:
    log = log_of(5)
    log.add("negative", np.array([3, 1]), "taken")
    log.add("fraction", np.array([1]), "missing")
    log.add("alive_rose", np.array([1]), "taken")
    table = log.problems()
    assert tuple(table.columns) == PROBLEM_COLUMNS
    assert table[["row", "column"]].to_numpy().tolist() == [
        [3, "missing"], [3, "taken"], [5, "taken"],
    ]  # fmt: skip
    assert table["kind"].tolist() == ["error"] * 3  # an error outweighs a query of the same cell
    assert table["value"].tolist() == ["", "1?", "3?"]


def test_a_cell_at_fault_is_kept_out_of_later_rules() -> None:
    log = log_of(3)
    log.add("negative", np.array([1]), "taken")
    log.add("unusual", np.array([2]), "taken", words={"low": "1", "high": "2", "unit": "mm"})
    assert log.usable("taken").tolist() == [True, False, True]  # a query is kept
    assert log.usable("missing").tolist() == [True, True, True]
    log.spoil(np.array([0]))
    assert log.usable("missing").tolist() == [False, True, True]
    assert log.faulty_rows().tolist() == [1]


def test_the_rows_affected_may_be_more_than_those_told() -> None:
    log = log_of(4)
    log.add("two_places", np.array([2]), "bench", affected=np.array([0, 2]),
            each={"first": ["row 2"], "other": ["north"]})  # fmt: skip
    assert len(log.problems()) == 1
    assert log.faulty_because() == {0: "bench", 2: "bench"}


def test_empty_lists_have_their_columns() -> None:
    log = log_of(2)
    assert tuple(log.problems().columns) == PROBLEM_COLUMNS


def test_values_are_shown_plainly() -> None:
    assert [plain(v) for v in (None, float("nan"), 3.0, 3.5, "x")] == ["", "", "3", "3.5", "x"]
