"""Sound files to break: cut from the invented seasons, as .csv, .xlsx, .parquet and .toml."""

from __future__ import annotations

import csv
import datetime as dt
import io
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pyarrow as pa
import pyarrow.parquet as pq

SEASON = Path(__file__).parents[2] / "datasets_demo" / "quern_hollow"
MARK = "INVENTED DATA: cut from the invented seasons of Quern Hollow, and broken on purpose."
SIZE = 14

Row = dict[str, Any]


@cache
def _rows_of(name: str) -> tuple[Row, ...]:
    with (SEASON / name).open(encoding="utf-8", newline="") as file:
        next(file)
        return tuple(csv.DictReader(file))


def settings_text() -> str:
    """The settings of the invented seasons."""
    return (SEASON / "trial.toml").read_text("utf-8")


def wide_rows() -> list[Row]:
    """Sound rows, one to a tray: the first of the sheet that faults are planted in elsewhere."""
    first = _rows_of("planted_faults.csv")[0]
    return [
        {**first, "tray": f"F{n:02d}", "method": "cleft" if n % 2 else "side veneer"}
        for n in range(1, SIZE + 1)
    ]


def long_rows() -> list[Row]:
    """Sound rows, one to a tray and count, of the newest season."""
    return [dict(row) for row in _rows_of("season_2025_26.csv")[: 2 * SIZE]]


def grid(rows: list[Row], *, mark: bool = True) -> list[list[Any]]:
    """Rows as a sheet: the line that says invented, the header, the rows."""
    head = list(rows[0])
    above: list[list[Any]] = [[MARK]] if mark else []
    return [*above, head, *[[row.get(name, "") for name in head] for row in rows]]


def csv_file(cells: list[list[Any]], separator: str = ",", encoding: str = "utf-8") -> bytes:
    """A sheet as separated text; a day is written year-month-day."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=separator, lineterminator="\n")
    writer.writerows([[_plain(cell) for cell in row] for row in cells])
    return text.getvalue().encode(encoding)


def xlsx_file(cells: list[list[Any]], settings: dict[str, str] | None = None) -> bytes:
    """A sheet as a workbook, figures as numbers, with a trial sheet where settings are given."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "bench"
    for row in cells:
        sheet.append([_typed(cell) for cell in row])
    for line in sheet.iter_rows():
        for cell in line:
            if cell.data_type == "f" and not str(cell.value).startswith("=A"):
                cell.data_type = "s"
    if settings is not None:
        beside = book.create_sheet("trial")
        for pair in [("what", "value"), *settings.items()]:
            beside.append(list(pair))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def parquet_file(cells: list[list[Any]], compression: str = "snappy") -> bytes:
    """A sheet as parquet, every column text."""
    head, *rows = cells
    columns = {
        name: pa.array([_plain(row[at]) or None for row in rows], pa.string())
        for at, name in enumerate(head)
    }
    return written(pa.table(columns), compression)


def written(table: pa.Table, compression: str = "snappy") -> bytes:
    """A table as the bytes of a parquet file."""
    out = io.BytesIO()
    pq.write_table(table, out, compression=compression)
    return out.getvalue()


def _plain(cell: Any) -> str:
    return cell.date().isoformat() if isinstance(cell, dt.datetime) else str(cell)


def _typed(cell: Any) -> Any:
    """What a grower types as a figure is a number in the workbook."""
    if isinstance(cell, str) and cell.isascii() and cell.isdigit() and len(cell) < 15:
        return int(cell)
    return cell if cell != "" else None
