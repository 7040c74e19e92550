"""What does the order become after the count?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pandas import DataFrame

from takestats.errors import CountsError
from takestats.models.result import TableResult
from takestats.wording import order_changed as words

_COMPARED = (
    "wanted",
    "grafts",
    "seedlings",
    "expected_take",
    "take_low",
    "past_seasons",
    "past_grafts",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class OrderChange(TableResult):
    """Two orders side by side, the earlier first.

    Parameters
    ----------
    assurance_before, assurance : float
    """

    assurance_before: float
    assurance: float


def order_change(before: Mapping[str, Any], now: Mapping[str, Any]) -> OrderChange:
    """Hold an order against an earlier one.

    Parameters
    ----------
    before, now : mapping
        As :meth:`takestats.order.order_result.UnderstockOrder.as_record` makes them.

    Raises
    ------
    CountsError
        For anything that is no order.
    """
    old, new = _by_name(before), _by_name(now)
    rows = []
    for name in dict.fromkeys([*new, *old]):
        row: dict[str, Any] = {"combination": name}
        for column in _COMPARED:
            row[f"{column}_before"] = _number(old.get(name), column)
            row[column] = _number(new.get(name), column)
        row["change"] = _or_none(row["grafts"]) - _or_none(row["grafts_before"])
        rows.append(row)
    columns = ["combination"]
    for column in _COMPARED:
        columns += [f"{column}_before", column]
        if column == "grafts":
            columns.append("change")
    levels = (float(before["assurance"]), float(now["assurance"]))
    return OrderChange(
        _table=DataFrame(rows, columns=columns),
        notes=words.change_notes(*levels),
        sentences=words.change_sentences(rows),
        assurance_before=levels[0],
        assurance=levels[1],
    )


def _by_name(record: Any) -> dict[str, Mapping[str, Any]]:
    try:
        rows = {str(row["combination"]): row for row in record["table"]}
        float(record["assurance"])
        for row in rows.values():
            float(row["grafts"])
    except (KeyError, TypeError, ValueError):
        rows = {}
    if not rows:
        raise CountsError(
            where="earlier",
            what="no order",
            rule="an order is held against an earlier one, or against what was kept of it",
            next_step="give an UnderstockOrder, or the record that as_record() made of it",
        )
    return rows


def _number(row: Mapping[str, Any] | None, column: str) -> float:
    value = None if row is None else row.get(column)
    try:
        return math.nan if value is None else float(value)
    except (TypeError, ValueError):  # a file says "no upper bound" of seedlings without end
        return math.inf


def _or_none(number: float) -> float:
    """Grafts of an order in which a combination does not stand: none."""
    return 0.0 if math.isnan(number) else number
