"""What stands in a data frame, cell by cell, as if it had been typed into a sheet?"""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pandas as pd

from takestats.records.typed_sheet import Sheet


def sheet_of_frame(frame: pd.DataFrame, label: str) -> Sheet:
    """A data frame as a sheet: its column names are the first row."""
    header: list[Any] = [str(name) for name in frame.columns]
    return Sheet(label, "", [header, *cells_of(frame)])


def cells_of(frame: pd.DataFrame) -> list[list[Any]]:
    """Every cell as text, a date, or None when blank."""
    columns = [typed_cells(frame.iloc[:, i]) for i in range(frame.shape[1])]
    return [list(row) for row in zip(*columns, strict=True)] if columns else []


def typed_cells(column: pd.Series[Any]) -> list[Any]:
    """Each cell of one column as text, a date, or None when blank."""
    values = column.astype(object).to_numpy()
    kinded = np.array([*[_kinded(value) for value in values], None], dtype=object)[:-1]
    codes, kinds = pd.factorize(kinded)
    shown = np.array([*[_shown(kind) for kind in kinds], None], dtype=object)
    return list(shown[codes])


def _kinded(value: object) -> object:
    """Blank as None; yes and no as words, so that they are not taken for 1 and 0."""
    if value is None or value is pd.NaT or value is pd.NA:
        return None
    if isinstance(value, list | tuple | dict | set | np.ndarray):
        return str(value)  # no cell of a record; the rule of its column then says so
    if value != value:
        return None
    if isinstance(value, bool | np.bool_):
        return "TRUE" if value else "FALSE"
    return value


def _shown(value: object) -> object:
    if isinstance(value, int | np.integer):
        return str(int(value))
    if isinstance(value, float | np.floating):
        number = float(value)
        return str(int(number)) if number.is_integer() and abs(number) < 1e15 else repr(number)
    if isinstance(value, pd.Timestamp):
        try:
            return value.to_pydatetime()
        except (ValueError, OverflowError):  # a day of another age
            return str(value)
    if isinstance(value, dt.datetime | dt.date):
        return value
    return str(value)
