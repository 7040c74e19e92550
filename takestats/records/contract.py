"""Does the frame that leaves this room keep its promises?

Faults of single cells are found by the rules of this room, which know the file,
the sheet and the row. The frame made from them is checked once more against a
schema built from the column declarations, so that a mistake in the code cannot
reach a model. A breach is a mistake of the program, not of the grower.

The promises are read off the schema once, and nearly every frame keeps them: a plain look
says so in a tenth of the time. Only where it is in doubt does the library of schemas look,
and say what is broken.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import pandas as pd

from takestats.errors import CountsError
from takestats.records.columns import COLUMNS, Column
from takestats.records.schema import declared, quiet_pandera

if TYPE_CHECKING:
    import pandera.pandas
    from pandera.pandas import DataFrameSchema

_ALWAYS = (
    "season",
    "tray_id",
    "grafted",
    "taken",
    "missing",
    "understock_dead",
    "count",
    "count_date",
    "made_by",
    "combination",
    "relation",
    "counted",
    "line",
)
_FLOATS = ("caliper_ratio", "day_of_season", "storage_days", "days_to_bud_break")

_OF_ROWS: dict[str, Callable[[pd.DataFrame], pd.Series[bool]]] = {
    "taken is within grafted": lambda t: ~(t["taken"] > t["grafted"]),
    "taken, missing and dead are within grafted": lambda t: (
        ~(
            t["taken"].fillna(0) + t["missing"].fillna(0) + t["understock_dead"].fillna(0)
            > t["grafted"]
        )
    ),
    "counted means taken is known": lambda t: t["counted"] == t["taken"].notna(),
}
"""What every row promises of its numbers together."""


@lru_cache(maxsize=1)
def trays_schema() -> DataFrameSchema:
    """The schema of ``records.trays``, made from the column declarations."""
    pa = quiet_pandera()

    def of_trays(column: Column) -> pandera.pandas.Column:
        if column.name == "grafted":
            column = replace(column, high=None)  # a line of single grafts is a sum
        return declared(
            column,
            blank=column.name not in ("season", "count", "made_by"),
            required=column.name in _ALWAYS,
        )

    columns = {
        c.name: of_trays(c)
        for c in COLUMNS
        if c.kind != "height" and c.role != "note" and c.name != "graft"
    }
    columns["tray_id"] = pa.Column("str", nullable=False)
    columns["combination"] = pa.Column("str", nullable=True)
    columns["scion_species"] = pa.Column("str", nullable=True, required=False)
    columns["counted"] = pa.Column("bool")
    columns["line"] = pa.Column("int64", pa.Check.ge(0), unique=True)
    for name in _FLOATS:
        columns[name] = pa.Column("float64", nullable=True, required=False)
    whole = [pa.Check(keeps, name=name) for name, keeps in _OF_ROWS.items()]
    made: DataFrameSchema = pa.DataFrameSchema(columns, checks=whole, strict=False)
    return made


@dataclass(frozen=True, kw_only=True)
class _Promise:
    """What one column of the schema promises, in plain parts.

    Parameters
    ----------
    dtype : dtype of numpy or pandas
    blank, required, unique : bool
    low, high : float or None
    words : frozenset of str or None
    plain : bool
        Whether these are all that the schema asks of it.
    """

    dtype: Any
    blank: bool
    required: bool
    unique: bool
    low: float | None
    high: float | None
    words: frozenset[str] | None
    plain: bool


@lru_cache(maxsize=1)
def _promises() -> dict[str, _Promise]:
    """The columns of the schema as promises, read off once."""
    return {str(name): _promise(column) for name, column in trays_schema().columns.items()}


def _promise(column: Any) -> _Promise:
    asked: dict[str, Any] = {}
    for check in column.checks:
        asked |= check.statistics or {check.name: None}
    known = {"min_value", "max_value", "include_min", "include_max", "allowed_values"}
    open_ended = not (asked.get("include_min", True) and asked.get("include_max", True))
    words = asked.get("allowed_values")
    return _Promise(
        dtype=column.dtype.type,
        blank=column.nullable,
        required=column.required,
        unique=column.unique,
        low=asked.get("min_value"),
        high=asked.get("max_value"),
        words=None if words is None else frozenset(words),
        plain=set(asked) <= known and not open_ended,
    )


def keeps_the_contract(trays: pd.DataFrame) -> bool:
    """Whether a plain look finds nothing; False means only that somebody must look closer."""
    if not trays.columns.is_unique:
        return False
    for name, promise in _promises().items():
        if name not in trays:
            if promise.required:
                return False
            continue
        if not promise.plain or not _kept(trays[name], promise):
            return False
    return all(bool(keeps(trays).all()) for keeps in _OF_ROWS.values())


def _kept(column: pd.Series[Any], promise: _Promise) -> bool:
    if column.dtype != promise.dtype or (not promise.blank and column.hasnans):
        return False
    if promise.unique and not column.is_unique:
        return False
    if promise.words is not None and not promise.words.issuperset(column.dropna().unique()):
        return False
    if promise.low is not None and (column < promise.low).any():
        return False
    return promise.high is None or not (column > promise.high).any()


def check_contract(trays: pd.DataFrame) -> pd.DataFrame:
    """Return the frame when it keeps the contract; otherwise say where it does not."""
    if keeps_the_contract(trays):
        return trays
    quiet_pandera()
    from pandera.errors import SchemaErrors

    try:
        return trays_schema().validate(trays, lazy=True)
    except SchemaErrors as breach:
        cases = breach.failure_cases
        names = sorted(
            {str(c) for c in cases["column"].dropna()} | {str(c) for c in cases["check"]}
        )
        raise CountsError(
            where="records.trays",
            what=f"the frame of trays breaks its contract: {', '.join(names)}",
            rule="Every column keeps the type and the limits of its declaration.",
            next_step="This is a mistake of the program; please report it with the file.",
        ) from breach
