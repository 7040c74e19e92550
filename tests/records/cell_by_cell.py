"""Is every cell as it was typed, or told in one line of the changes?"""

from __future__ import annotations

from typing import Any

from takestats.records.problems import plain
from takestats.records.result import Records

Place = tuple[str, int, str]
"""Sheet, row and column."""


def hold_cell_by_cell(records: Records, typed: dict[Place, str]) -> int:
    """Hold every cell of the table against the text typed; return how many were changed.

    A number may be written in another way (20.0 for 20); any other difference must
    stand in one line of the changes, with the text typed and what it became.
    """
    lines: dict[Place, tuple[str, str]] = {}
    for line in records.changes.to_dict("records"):
        key = (line["sheet"], line["row"], line["column"])
        assert key not in lines, f"{key} is told twice"
        lines[key] = (line["typed"], line["became"])
    seen = 0
    kept = set()
    for row in records.table.to_dict("records"):
        place = (row["sheet"], row["row"])
        kept.add(place)
        for column in records.table.columns.drop(["file", "sheet", "row"]):
            key = (*place, column)
            became, before = plain(row[column]), typed.get(key, "")
            if key in lines:
                assert lines[key] == (before, became), key
                seen += 1
            elif key in typed:
                assert _same(before, became, row[column]), (key, before, became)
    assert seen == sum(key[:2] in kept for key in lines)
    return seen


def _same(before: str, became: str, value: Any) -> bool:
    if isinstance(value, float):
        return not before.strip() if value != value else float(before) == value
    return before == became or not (before.strip() or became)
