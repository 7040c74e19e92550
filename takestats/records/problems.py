"""Which cells break a rule?

The list is gathered in blocks of rows, so that thousands of faults cost no more
than a few, and is set out as a table at the end.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.wording.faults import FAULTS, fault_text

PROBLEM_COLUMNS = ("kind", "file", "sheet", "row", "column", "value", "rule", "next_step")

Rows = NDArray[np.intp]


def plain(value: object) -> str:
    """A value as it is shown in a list of faults; a blank cell is blank."""
    if value is None or (isinstance(value, float) and np.isnan(value)):
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    if isinstance(value, dt.datetime) and value.time() == dt.time():
        return value.date().isoformat()
    return str(value)


def _plain_all(values: Sequence[object] | NDArray[Any]) -> NDArray[Any]:
    """Every value as shown, each distinct one worked out once."""
    cells = np.empty(len(values), dtype=object)
    cells[:] = values
    codes, distinct = pd.factorize(cells)
    shown = np.array([*[plain(value) for value in distinct], ""], dtype=object)
    return shown[codes]


@dataclass(eq=False)
class FaultLog:
    """The faults of one reading, and why cells were changed.

    Parameters
    ----------
    origin : pandas.DataFrame
        file, sheet and row of every row that was read.
    typed : dict of str to array
        The cells as typed, which are shown beside each fault.
    """

    origin: pd.DataFrame
    typed: dict[str, NDArray[Any]]
    whys: dict[str, NDArray[Any]] = field(default_factory=dict)
    _faults: list[pd.DataFrame] = field(default_factory=list)
    _bad_cells: dict[str, NDArray[np.bool_]] = field(default_factory=dict)
    _faulty: dict[int, str] = field(default_factory=dict)

    def bad(self, column: str) -> NDArray[np.bool_]:
        """Rows whose cell in this column already has an error."""
        if column not in self._bad_cells:
            self._bad_cells[column] = np.zeros(len(self.origin), dtype=bool)
        return self._bad_cells[column]

    def spoil(self, rows: Rows) -> None:
        """Keep whole rows out of every later rule."""
        self.bad("*")[rows] = True

    def usable(self, *columns: str) -> NDArray[np.bool_]:
        """Rows without an error in any of these columns."""
        out = ~self.bad("*")
        for column in columns:
            out &= ~self.bad(column)
        return out

    def add(
        self,
        code: str,
        rows: Rows,
        column: str,
        *,
        affected: Rows | None = None,
        each: Mapping[str, Sequence[object] | NDArray[Any]] | None = None,
        words: Mapping[str, str] | None = None,
    ) -> None:
        """Note one rule broken in these rows.

        ``affected`` are the rows that cannot be used because of it (default: the
        same rows). ``words`` fill in the text of the rule; ``each`` those that differ
        from row to row.
        """
        if len(rows) == 0:
            return
        said = {"column": column, **(words or {})}
        block = self.origin.iloc[rows][["file", "sheet", "row"]].reset_index(drop=True)
        block["column"] = column
        typed = self.typed.get(column)
        block["value"] = "" if typed is None else _plain_all(typed[rows])
        if each:
            told = [
                fault_text(code, **said, **{k: plain(v[i]) for k, v in each.items()})
                for i in range(len(rows))
            ]
            block["rule"] = [text.rule for text in told]
            block["next_step"] = [text.next_step for text in told]
        else:
            text = fault_text(code, **said)
            block["rule"] = text.rule
            block["next_step"] = text.next_step
        kind = FAULTS[code].kind
        block.insert(0, "kind", kind)
        self._faults.append(block)
        if kind == "error":
            self.bad(column)[rows] = True
            out = rows if affected is None else affected
            for row in out.tolist():
                self._faulty.setdefault(row, column)

    def add_header(
        self, code: str, file: str, sheet: str, row: int, column: str, value: str, **words: str
    ) -> None:
        """Note a fault of a whole column, at its header."""
        text = fault_text(code, column=column, **words)
        cells = (text.kind, file, sheet, row, column, value, text.rule, text.next_step)
        self._faults.append(pd.DataFrame([cells], columns=list(PROBLEM_COLUMNS)))

    def change(self, rows: Rows, column: str, why: str) -> None:
        """Say why these cells are read as something else than what was typed."""
        if len(rows) == 0:
            return
        if column not in self.whys:
            self.whys[column] = np.full(len(self.origin), None, dtype=object)
        said = self.whys[column]
        said[rows] = [f"{before}; {why}" if before else why for before in said[rows]]

    def any_error(self) -> bool:
        """Whether anything found so far stops the reading."""
        return any((block["kind"] == "error").any() for block in self._faults)

    def left_out(self) -> dict[str, NDArray[np.bool_]]:
        """Cells with an error, column by column; "*" for rows that are no tray."""
        return {"*": self.bad("*"), **self._bad_cells}

    def names_of(self, rows: Rows, beside: Rows) -> list[str]:
        """Name rows for a reader of others: the file only where it is another one."""
        named, at = np.unique(np.concatenate([rows, beside]), return_inverse=True)
        places = self.origin.iloc[named]
        rows, beside = at[: len(rows)], at[len(rows) :]
        file, sheet, number = (places[c].to_numpy() for c in ("file", "sheet", "row"))
        names = []
        for row, other in zip(rows.tolist(), beside.tolist(), strict=True):
            where = "" if file[row] == file[other] else f"{file[row]} "
            if sheet[row] != sheet[other] or (where and sheet[row]):
                where += f"sheet {sheet[row]} "
            names.append(f"{where}row {number[row]}")
        return names

    def faulty_rows(self) -> Rows:
        """The rows that cannot be used."""
        return np.array(sorted(self._faulty), dtype=np.intp)

    def faulty_because(self) -> dict[int, str]:
        """For each row that cannot be used, the first column at fault."""
        return dict(self._faulty)

    def problems(self) -> pd.DataFrame:
        """Every fault, one per cell, in the order of the sheet."""
        table = stacked(self._faults, PROBLEM_COLUMNS, ["file", "sheet", "row", "column"])
        if table.empty:
            return table
        # One per cell; an error outweighs a query of the same cell.
        table = table.sort_values(
            ["file", "sheet", "row", "column", "kind"], kind="stable", ignore_index=True
        )
        return table.drop_duplicates(["file", "sheet", "row", "column"], ignore_index=True)


def stacked(blocks: list[pd.DataFrame], columns: tuple[str, ...], order: list[str]) -> pd.DataFrame:
    """Blocks of rows as one table in the order of the sheet; none is an empty table."""
    if not blocks:
        return _empty(columns).copy()
    table = pd.concat(blocks, ignore_index=True)[list(columns)]
    return table.sort_values(order, kind="stable", ignore_index=True)


@lru_cache(maxsize=8)
def _empty(columns: tuple[str, ...]) -> pd.DataFrame:
    """A table of these columns without rows, made once."""
    return pd.DataFrame({name: pd.Series(dtype="str") for name in columns}).astype({"row": "int64"})
