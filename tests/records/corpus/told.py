"""What the program says of one file of the corpus, in the form of ``expected.txt``."""

from __future__ import annotations

import re
from pathlib import Path

import pandas as pd

from takestats.errors import RecordsError
from takestats.records.read import read_records
from takestats.records.result import Records
from takestats.wording.faults import FAULTS
from tests.records.corpus.cases import Case

HERE = Path(__file__).parent


def told(case: Case) -> str:
    """The tally, the faults and the changes of one file, a line each.

    The rule of a fault is given by its code: its text is pinned elsewhere.
    """
    lines = [f"== {case.name}: {case.why}"]
    try:
        records = read_case(case, set_aside=True)
    except RecordsError as refused:
        return "\n".join([*lines, "cannot be used", *_faults(refused.problems), ""])
    return "\n".join([*lines, *_tally(records), *_faults(records.problems), *_changes(records), ""])


def read_case(case: Case, *, set_aside: bool) -> Records:
    """Read one file of the corpus with its settings."""
    return read_records(
        HERE / case.name, trial=case.settings or None, sheet=case.sheet, set_aside=set_aside
    )


def _tally(records: Records) -> list[str]:
    trays = records.trays
    counted = trays[trays["counted"]]
    taken = f"{counted['taken'].sum():g} of {counted['grafted'].sum():g}"
    lines = f"{len(trays)} lines, {len(counted)} counted ({records.count}): {taken} taken"
    return [f"{lines}; {len(records.set_aside)} rows set aside"]


def _faults(problems: pd.DataFrame) -> list[str]:
    return [
        f"{row['kind']} {_place(row)}: {row['value']!r} {code_of(row)}"
        for row in problems.to_dict("records")
    ]


def _changes(records: Records) -> list[str]:
    return [
        f"change {_place(row)}: {row['typed']!r} -> {row['became']!r} ({row['why']})"
        for row in records.changes.to_dict("records")
    ]


def _place(row: dict[str, object]) -> str:
    sheet = f"{row['sheet']}, " if row["sheet"] and row["sheet"] != "bench" else ""
    return f"{sheet}row {row['row']}, {row['column']}"


def code_of(row: dict[str, object]) -> str:
    """The rule that a fault broke, found again by its two texts."""
    found = [
        code
        for code, text in FAULTS.items()
        if _form(text.rule).match(str(row["rule"]))
        and _form(text.next_step).match(str(row["next_step"]))
    ]
    return " or ".join(found)


def _form(text: str) -> re.Pattern[str]:
    parts = [re.escape(part) for part in re.split(r"\{\w+\}", text)]
    return re.compile(".*".join(parts) + r"\Z", re.DOTALL)
