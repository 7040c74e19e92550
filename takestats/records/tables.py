"""Which tables does a set of records hand on?"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.columns import COLUMNS
from takestats.records.contract import check_contract
from takestats.records.derive import tray_ids
from takestats.records.lines import at_count
from takestats.records.problems import FaultLog, plain
from takestats.records.row_checks import Cells
from takestats.records.schema import text_series
from takestats.records.sheets import TypedTable


def trays_table(
    lines: pd.DataFrame,
    counts: pd.DataFrame,
    count: str,
    unknown: tuple[str, ...],
    *,
    trays_recorded: bool,
) -> pd.DataFrame:
    """One row per tray line at one count, checked against the contract."""
    trays = at_count(lines, counts, count)
    trays["tray_id"] = tray_ids(lines, trays_recorded=trays_recorded)
    trays["line"] = np.arange(len(trays), dtype=np.int64)
    out: dict[str, Any] = {}
    front = ["tray_id", "line", "season", "trial", "tray"]
    back = ["grafted", "taken", "missing", "understock_dead", "count", "count_date", "counted"]
    middle = [str(name) for name in trays if name not in (*front, *back, *unknown)]
    for name in [*front, *middle, *unknown, *back]:
        if name in trays:
            out[name] = _typed_column(name, trays[name])
        elif name in ("trial", "tray"):
            out[name] = text_series([None] * len(trays))
    return check_contract(pd.DataFrame(out))


def counts_table(counts: pd.DataFrame, lines: pd.DataFrame) -> pd.DataFrame:
    """One row per tray line and count."""
    at = counts["line"].to_numpy()
    out: dict[str, Any] = {}
    for name in ("season", "trial", "tray"):
        values = lines[name].to_numpy(dtype=object)[at] if name in lines else [None] * len(at)
        out[name] = text_series(values)
    for name in ("line", "count", "count_date", "grafted", "taken", "understock_dead", "missing"):
        out[name] = _typed_column(name, counts[name])
    return pd.DataFrame(out)


def source_table(cells: Cells, typed: TypedTable, kept: NDArray[np.intp]) -> pd.DataFrame:
    """The rows as read and converted, with where they stood."""
    order = [c.name for c in COLUMNS if c.name in cells.values]
    order += [name for name in cells.values if name not in order]
    out = {name: _typed_column(name, pd.Series(cells.values[name][kept])) for name in order}
    origin = typed.origin.iloc[kept].reset_index(drop=True)
    return pd.concat([origin, pd.DataFrame(out)], axis=1)


def set_aside_table(typed: TypedTable, log: FaultLog) -> pd.DataFrame:
    """The rows that were set aside, as typed, with the reason."""
    because = log.faulty_because()
    rows = np.array(sorted(because), dtype=np.intp)
    out = typed.origin.iloc[rows].reset_index(drop=True)
    out["reason"] = text_series([f"a fault in {because[i]}" for i in rows])
    if not because:
        none = text_series([])
        return out.assign(**dict.fromkeys(typed.cells, none))
    for name, column in typed.cells.items():
        out[name] = text_series([None if c is None else plain(c) for c in column[rows]])
    return out


def _typed_column(name: str, column: pd.Series[Any]) -> pd.Series[Any]:
    if column.dtype == object or str(column.dtype).startswith("str"):
        return text_series(column.to_numpy(dtype=object))
    return column.reset_index(drop=True)
