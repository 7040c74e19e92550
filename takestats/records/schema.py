"""Does every value keep the declaration of its column?

The schema is made from the table of column declarations, so that a limit or a
list of words stands in one place. What a grower typed is held against it here,
and each breach is told as a fault at its cell; the frame of trays that leaves the
room is held against the same schema once more.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.columns import BY_NAME, Column
from takestats.records.problems import FaultLog, plain
from takestats.wording.numbers import whole

if TYPE_CHECKING:
    import pandera.pandas

Values = NDArray[Any]

IMPOSSIBLE, UNUSUAL, UNKNOWN_WORD = "out_of_range", "unusual", "not_in_list"
"""The rules of a declaration, by the code of the fault that each one is told as."""

NUMBERS = ("whole", "length", "height")


def text_series(values: Sequence[Any] | Values) -> pd.Series[str]:
    """Text with blanks missing, in the one text type of the package.

    Each distinct text is turned once, however many rows have it.
    """
    cells = np.empty(len(values), dtype=object)
    cells[:] = values
    codes, distinct = pd.factorize(cells)
    return pd.Series(pd.array(distinct, dtype="str").take(codes, allow_fill=True))


def declared(
    column: Column, *, blank: bool = True, required: bool = False, usual: bool = False
) -> pandera.pandas.Column:
    """One column of a schema, made from its declaration.

    Parameters
    ----------
    column : Column
    blank : bool
        Cells may be blank.
    required : bool
        The column must be there.
    usual : bool
        Numbers outside the usual limits are a breach as well.
    """
    pa = quiet_pandera()
    checks: list[Any] = []
    limits = [(IMPOSSIBLE, column.low, column.high)]
    if usual:
        limits.append((UNUSUAL, column.usual_low, column.usual_high))
    for code, low, high in limits:
        if low is not None and high is not None:
            checks.append(pa.Check.in_range(low, high, error=code))
        elif low is not None:
            checks.append(pa.Check.ge(low, error=code))
    if column.words:
        checks.append(pa.Check.isin(list(column.words), error=UNKNOWN_WORD))
    kind = "float64" if column.kind in NUMBERS else "str"
    made: pandera.pandas.Column = pa.Column(
        kind,
        checks,
        nullable=blank,
        required=required,
        title=column.name,
        description=column.meaning,
        metadata={"unit": column.unit, "source": column.source, "synonyms": column.synonyms},
    )
    return made


def quiet_pandera() -> Any:
    """The library of schemas, loaded when it is first needed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import pandera.pandas as pa
    return pa


@lru_cache(maxsize=32)
def cells_schema(names: tuple[str, ...]) -> pandera.pandas.DataFrameSchema:
    """The schema of these columns as a grower fills them in.

    Examples
    --------
    >>> cells_schema(("buds",)).columns["buds"].description
    'buds on the scion'
    """
    columns = {name: declared(BY_NAME[name], usual=True) for name in names}
    made: pandera.pandas.DataFrameSchema = quiet_pandera().DataFrameSchema(columns)
    return made


def hold_against_declarations(values: dict[str, Values], log: FaultLog) -> None:
    """Tell every value outside its declaration; one that cannot be right is made blank."""
    frame = _frame(values)
    schema = cells_schema(tuple(str(name) for name in frame))
    for code, name, rows in breaches(frame, schema):
        usual = code == UNUSUAL
        column = BY_NAME[name]
        low, high = (column.usual_low, column.usual_high) if usual else (column.low, column.high)
        rows = rows[log.usable(name)[rows]]
        words = {
            "low": plain(low if low is not None else 0.0),
            "high": whole(high) if high and high == int(high) else plain(high or 0.0),
            "unit": "" if column.unit in ("", name) else f" {column.unit}",
            "known": ", ".join(column.words),
            "nearest": "",
        }
        log.add(code, rows, name, words=words)
        if not usual:
            out = values[name].copy()
            out[rows] = np.nan if out.dtype == float else None
            values[name] = out


def _frame(values: dict[str, Values]) -> pd.DataFrame:
    """The columns that have a limit or a list of words, in the types of the schema."""
    out: dict[str, Any] = {}
    for name, column in values.items():
        declaration = BY_NAME.get(name)
        if declaration is None:
            continue
        if declaration.kind in NUMBERS and declaration.low is not None:
            if column.dtype != float:
                column = np.array([v if isinstance(v, float) else np.nan for v in column])
            out[name] = column
        elif declaration.words:
            out[name] = text_series(column)
    return pd.DataFrame(out)


def breaches(
    frame: pd.DataFrame, schema: pandera.pandas.DataFrameSchema
) -> list[tuple[str, str, NDArray[np.intp]]]:
    """The code, the column and the rows of everything that breaks the schema."""
    if frame.empty:
        return []
    quiet_pandera()
    from pandera.errors import SchemaErrors

    try:
        schema.validate(frame, lazy=True)
    except SchemaErrors as found:
        cases = found.failure_cases
        return [
            (str(code), str(name), np.array(sorted(set(rows)), dtype=np.intp))
            for (code, name), rows in cases.groupby(["check", "column"], sort=True)["index"]
        ]
    return []
