"""Does the frame that leaves this room keep its promises?

Faults of single cells are found by the rules of this room, which know the file,
the sheet and the row. The frame made from them is checked once more against a
schema built from the column declarations, so that a mistake in the code cannot
reach a model. A breach is a mistake of the program, not of the grower.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

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
    whole = [
        pa.Check(lambda t: ~(t["taken"] > t["grafted"]), name="taken is within grafted"),
        pa.Check(
            lambda t: (
                ~(
                    t["taken"].fillna(0) + t["missing"].fillna(0) + t["understock_dead"].fillna(0)
                    > t["grafted"]
                )
            ),
            name="taken, missing and dead are within grafted",
        ),
        pa.Check(lambda t: t["counted"] == t["taken"].notna(), name="counted means taken is known"),
    ]
    made: DataFrameSchema = pa.DataFrameSchema(columns, checks=whole, strict=False)
    return made


def check_contract(trays: pd.DataFrame) -> pd.DataFrame:
    """Return the frame when it keeps the contract; otherwise say where it does not."""
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
