"""How do the sheets of all files become one table of typed cells?"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.errors import FileError
from takestats.records.changes import BLANKS
from takestats.records.columns import BY_NAME
from takestats.records.headers import (
    ROWS_SEARCHED,
    UNCLEAR,
    Header,
    header_key,
)
from takestats.records.no_rows import NoRowsError
from takestats.records.sheet_parts import (
    Part,
    find_count_sheets,
    one_shape,
    part_of,
)
from takestats.records.typed_sheet import Sheet

Values = NDArray[Any]

TEXT_KINDS = (".csv", ".tsv")

_SPACE = " \t\r\n\f\v\xa0\u2007\u202f\u200b\ufeff"
"""White space, and the signs without width that are pasted with it."""


@dataclass(eq=False)
class TypedTable:
    """Every data row of every sheet, column by column, as typed.

    ``cells`` holds text, dates and None, with the spaces around it taken off and
    words for blank made blank; ``typed`` the same cells as they stood; ``units`` the
    unit of each row's header; ``single`` marks rows that tell of one graft each, ``beside`` rows
    of count sheets, which say again which tray they tell of and leave the rest to the record
    sheet of their workbook; ``header_faults`` are faults of whole columns: (code, file, sheet,
    row, column, value, words).
    """

    cells: dict[str, Values]
    typed: dict[str, Values]
    origin: pd.DataFrame
    units: dict[str, Values]
    unknown: tuple[str, ...]
    no_treatment: frozenset[str]
    single: NDArray[np.bool_]
    beside: NDArray[np.bool_]
    headers: dict[str, list[str]]
    first_columns: list[str]
    header_faults: list[tuple[str, str, str, int, str, str, dict[str, str]]] = field(
        default_factory=list
    )
    notes: list[str] = field(default_factory=list)
    overlong: list[tuple[str, int]] = field(default_factory=list)
    """Rows of a text file with a cell beyond the header: the column's name, the row."""

    @property
    def files(self) -> Values:
        """The file of each row."""
        return self.origin["file"].to_numpy(dtype=object)


def table_of(sheets: list[Sheet], *, trays_recorded: bool, chosen: bool) -> TypedTable:
    """Find each header and put the rows of all sheets below each other."""
    parts: list[Part] = []
    notes: list[str] = []
    per_file: dict[str, int] = {}
    for sheet in sheets:
        per_file[sheet.file] = per_file.get(sheet.file, 0) + 1
    for sheet in sheets:
        part = part_of(sheet)
        if part is None:
            if per_file[sheet.file] == 1 or chosen:
                raise _no_header(sheet)
            notes.append(f"{sheet.place}: not read, because it is not a table of records.")
            continue
        if part.header_row > 0:
            notes.append(f"{sheet.place}: the header was found in row {part.header_row + 1}.")
        parts.append(part)
    if not parts:
        raise _no_header(sheets[0])
    one_shape(parts)
    find_count_sheets(parts)
    if not any(part.rows for part in parts):
        raise NoRowsError(where=parts[0].sheet.place)
    return _stack(parts, notes, trays_recorded=trays_recorded)


def _no_header(sheet: Sheet) -> FileError:
    return FileError(
        where=sheet.place,
        what=f"no header was found in the first {ROWS_SEARCHED} rows",
        rule='Records are a table with a header such as "tray", "method", "grafted", "taken".',
        next_step="Give the columns these headers, in one row above the records.",
    )


def _stack(parts: list[Part], notes: list[str], *, trays_recorded: bool) -> TypedTable:
    size = sum(len(part.rows) for part in parts)
    cells: dict[str, Values] = {}
    units: dict[str, Values] = {}
    headers: dict[str, list[str]] = {}
    unknown: dict[str, None] = {}
    no_treatment: set[str] = set()
    overlong: list[tuple[str, int]] = []
    first_columns: list[str] = []
    faults: list[tuple[str, str, str, int, str, str, dict[str, str]]] = []
    single = np.zeros(size, dtype=bool)
    beside = np.zeros(size, dtype=bool)
    start = 0
    for part in parts:
        stop = start + len(part.rows)
        beside[start:stop] = part.beside
        columns = list(zip_longest(*part.rows)) if part.rows else []
        named = _named(part, columns, faults, trays_recorded=trays_recorded)
        first_columns.append(next(iter(named.values())).name if named else "")
        for index, header in named.items():
            name = header.name
            if name not in cells:
                cells[name] = np.full(size, None, dtype=object)
                units[name] = np.full(size, None, dtype=object)
                headers[name] = []
            block = np.empty(stop - start, dtype=object)
            block[:] = columns[index] if index < len(columns) else None
            cells[name][start:stop] = block
            units[name][start:stop] = header.unit
            if header.typed and header.typed != name and header.typed not in headers[name]:
                headers[name].append(header.typed)
            if not header.known:
                unknown.setdefault(name)
                if header.percent or not header.typed:
                    no_treatment.add(name)
        beyond = f"column {len(part.headers) + 1}"
        if Path(part.sheet.file).suffix.lower() in TEXT_KINDS and len(part.headers) in named:
            overlong.extend((beyond, start + i) for i in _overlong(part))
        known = {h.name for h in named.values() if h.known}
        if "graft" in known:
            if "grafted" in known:
                grafts = cells["graft"][start:stop]
                single[start:stop] = [g is not None and str(g).strip() != "" for g in grafts]
            else:
                single[start:stop] = True
        start = stop
    origin = pd.DataFrame(
        {
            "file": np.repeat([p.sheet.file for p in parts], [len(p.rows) for p in parts]),
            "sheet": np.repeat([p.sheet.sheet for p in parts], [len(p.rows) for p in parts]),
            "row": np.concatenate([np.array(p.numbers, dtype=np.int64) for p in parts]),
        }
    )
    return TypedTable(
        cells={name: _trimmed(column) for name, column in cells.items()},
        typed=cells,
        origin=origin,
        units=units,
        unknown=tuple(unknown),
        no_treatment=frozenset(no_treatment),
        single=single,
        beside=beside,
        headers=headers,
        first_columns=first_columns,
        header_faults=faults,
        notes=notes,
        overlong=overlong,
    )


def _overlong(part: Part) -> list[int]:
    """Rows with something beyond the last header."""
    width = len(part.headers)
    return [
        i
        for i, row in enumerate(part.rows)
        if any(cell is not None and cell.strip() for cell in row[width:])
    ]


def _named(
    part: Part,
    columns: list[tuple[Any, ...]],
    faults: list[tuple[str, str, str, int, str, str, dict[str, str]]],
    *,
    trays_recorded: bool,
) -> dict[int, Header]:
    """The columns of one sheet by their place, and what is wrong with its header."""
    file, sheet, row = part.sheet.file, part.sheet.sheet, part.header_row + 1
    named: dict[int, Header] = {}
    seen: dict[str, str] = {}
    percent: list[Header] = []
    headers = part.headers + [
        Header("", "", known=False) for _ in range(len(columns) - len(part.headers))
    ]
    for index, header in enumerate(headers):
        if not header.typed:
            filled = index < len(columns) and any(
                c is not None and str(c).strip() for c in columns[index]
            )
            if not filled:
                continue
            header = Header("", f"column {index + 1}", known=False)
        if header.percent:
            percent.append(header)
        if (meant := UNCLEAR.get(header_key(header.typed))) and not header.known:
            words = {"choices": " or ".join(meant)}
            faults.append(("unclear_header", file, sheet, row, header.name, header.typed, words))
        if header.name in seen:
            both = f"{seen[header.name]}, {header.typed}"
            faults.append(("two_columns", file, sheet, row, header.name, both, {}))
            continue
        seen[header.name] = header.typed
        named[index] = header
    known = {h.name for h in named.values() if h.known}
    typed_headers = [h.typed for h in named.values() if not h.known]
    if "count" in known:
        typed_headers.append("count")
    if "taken" not in known and percent:
        typed = percent[0].typed
        faults.append(("percent_header", file, sheet, row, typed, typed, {}))
    elif "taken" not in known:
        faults.append(_missing_column("taken", file, sheet, row, typed_headers))
    if "grafted" not in known and "graft" not in known and not part.beside:
        faults.append(_missing_column("grafted", file, sheet, row, typed_headers))
    if "tray" not in known and trays_recorded:
        faults.append(("no_tray_column", file, sheet, row, "tray", "", {}))
    return named


_TELLING = {
    "taken": {"take", "takes", "taken", "took", "alive", "live", "success", "rooted", "count"},
    "grafted": {"grafted", "grafts", "made", "struck"},
}
"""Words that, in a header that is not known, may tell of the column that is missing."""


def _missing_column(
    name: str, file: str, sheet: str, row: int, headers: list[str]
) -> tuple[str, str, str, int, str, str, dict[str, str]]:
    column = BY_NAME[name]
    near = [f'"{h}"' for h in headers if _TELLING[name] & set(header_key(h).split())]
    words = {
        "meaning": column.meaning,
        "known": ", ".join((name, *column.synonyms[:4])),
        "hint": f" Is it {' or '.join(near)}?" if near else "",
    }
    return ("no_column", file, sheet, row, name, "", words)


def _trimmed(column: Values) -> Values:
    """Take white space off every cell, and make words such as NA blank."""
    codes, distinct = pd.factorize(column)
    return np.array([*[_stripped(cell) for cell in distinct], None], dtype=object)[codes]


def _stripped(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    text = cell.strip(_SPACE)
    if text.lower() in BLANKS:
        return None
    return cell if text == cell else text
