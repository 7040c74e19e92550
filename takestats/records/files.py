"""What stands in a file, cell by cell, before any of it is understood?"""

from __future__ import annotations

import csv
import hashlib
import io
import re
import warnings
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from takestats.errors import FileError
from takestats.records.headers import ROWS_SEARCHED, find_header
from takestats.records.workbook_layout import (
    TRIAL_SHEET,
    of_another_version,
    sheets_without_records,
    workbook_mark,
)
from takestats.records.xlsx_cells import workbook_cells

KINDS = (".csv", ".tsv", ".xlsx", ".parquet")
LARGE_TEXT = 1_000_000
"""Bytes of a text file from which single grafts are read block by block."""
_CONVERTED = "Save it as .csv, .tsv, .xlsx or .parquet."


@dataclass(frozen=True, eq=False)
class Sheet:
    """One sheet as typed: every cell text, a date, or None for a blank."""

    file: str
    sheet: str
    rows: list[list[Any]]


@dataclass(frozen=True, eq=False)
class FileContent:
    """The sheets of one file, its settings sheet, its fingerprint and notes."""

    file: str
    sheets: list[Sheet]
    settings: list[list[Any]] | None
    sha256: str
    notes: tuple[str, ...]


def may_be_large(path: Path) -> bool:
    """Whether a file may hold so many single grafts that they are gathered first."""
    kind = path.suffix.lower()
    large = kind in (".csv", ".tsv") and path.is_file() and path.stat().st_size >= LARGE_TEXT
    return large or (kind == ".parquet" and path.is_file())


def read_file(path: Path, label: str, sheet: str | None) -> FileContent:
    """Read one file whole; refuse what is missing, empty or not a table."""
    if not path.exists():
        near = sorted(p.name for p in path.parent.glob("*") if p.suffix in KINDS)[:5]
        found = f" Records in that folder: {', '.join(near)}." if near else ""
        raise FileError(
            where=label,
            what="there is no such file",
            rule="The records must be in a file that exists.",
            next_step=f"Check the name and the folder.{found}",
        )
    if path.is_dir():
        raise FileError(
            where=label or str(path),
            what="this is a folder",
            rule="Records are read from files.",
            next_step="Name the files in it, one or several.",
        )
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise FileError(
            where=label,
            what=f'a file ending in "{path.suffix}"',
            rule="Records are read from .csv, .tsv, .xlsx or .parquet files.",
            next_step=_CONVERTED,
        )
    try:
        data = path.read_bytes()
    except OSError as fault:
        raise FileError(
            where=label,
            what=f"the file cannot be opened ({fault.strerror})",
            rule="The file must be open to reading.",
            next_step="Close it in other programs and check who may read it.",
        ) from fault
    if not data.strip():
        raise _empty(label)
    read: Callable[[bytes, str, str | None], tuple[list[Sheet], Any, list[str]]]
    read = {".xlsx": _workbook, ".parquet": _parquet}.get(kind, _text_table)
    sheets, settings, notes = read(data, label, sheet)
    digest = hashlib.sha256(data).hexdigest()
    return FileContent(label, sheets, settings, digest, tuple(notes))


def _empty(label: str) -> FileError:
    return FileError(
        where=label,
        what="the file is empty",
        rule="A file of records has a header and at least one row.",
        next_step="Check that the right file was saved.",
    )


def _not_a_table(label: str, what: str) -> FileError:
    return FileError(
        where=label,
        what=what,
        rule="Records are a table with a header, one row per tray, count or graft.",
        next_step=_CONVERTED,
    )


def _no_sheet(label: str, sheet: str | None) -> None:
    if sheet is not None:
        raise FileError(
            where=label,
            what=f'the sheet "{sheet}" was asked for',
            rule="Only a workbook has sheets.",
            next_step="Leave the sheet out.",
        )


# --- text tables ---------------------------------------------------------------


def _text_table(data: bytes, label: str, sheet: str | None) -> tuple[list[Sheet], None, list[str]]:
    _no_sheet(label, sheet)
    text, notes = _decoded(data, label)
    if not text.strip():
        raise _empty(label)
    rows = _split(text, label)
    return [Sheet(label, "", rows)], None, notes


def _decoded(data: bytes, label: str) -> tuple[str, list[str]]:
    """The text of the file, and which letters it was saved in."""
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF", b"PAR1", b"\x89PNG")):
        raise _not_a_table(label, "the file is not text, whatever its ending says")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _strictly(data, "utf-16", label), [f"{label}: read as UTF-16."]
    if data.startswith(b"\xef\xbb\xbf"):
        return _strictly(data, "utf-8-sig", label), [
            f"{label}: read as UTF-8 with a mark in front."
        ]
    if b"\x00" in data:
        start = data[:4000]
        odd = start[1::2].count(0) > 0.4 * len(start[1::2])
        even = start[0::2].count(0) > 0.4 * len(start[0::2])
        if odd == even:
            raise _not_a_table(label, "the file is not text")
        name = "utf-16-le" if odd else "utf-16-be"
        return _strictly(data, name, label), [f"{label}: read as UTF-16."]
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        return (
            _strictly(data, "cp1252", label),
            [f"{label}: read as Windows-1252; check the accents and signs in the names."],
        )


def _strictly(data: bytes, encoding: str, label: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as fault:
        raise FileError(
            where=f"{label}, byte {fault.start + 1}",
            what="letters that cannot be read",
            rule="Text is read as UTF-8, UTF-16 or Windows-1252.",
            next_step="Save the file again as UTF-8.",
        ) from fault


def _split(text: str, label: str) -> list[list[Any]]:
    """Cut the text at the separator that makes most headers known."""
    # A space before a quote belongs to the separator; any other is told when it is taken off.
    loose = re.search(r"[,;\t] +\"", text) is not None
    best = separator_of(top_of(text), loose=loose)
    try:
        reader = csv.reader(io.StringIO(text), delimiter=best, skipinitialspace=loose)
        return list(reader)
    except csv.Error as fault:
        raise _not_a_table(label, f"the text cannot be cut into cells ({fault})") from fault


def top_of(text: str) -> str:
    """The rows that the separator is told by."""
    return "".join(text.splitlines(keepends=True)[: ROWS_SEARCHED + 10])


def separator_of(top: str, *, loose: bool) -> str:
    """The separator that makes most headers known, then the one that makes most cells."""
    best, best_score = ",", (-1, -1)
    for separator in (",", ";", "\t"):
        try:
            rows = list(csv.reader(io.StringIO(top), delimiter=separator, skipinitialspace=loose))
        except csv.Error:
            continue
        found = find_header(rows)
        known = sum(h.known for h in found[1]) if found else 0
        width = max((len(row) for row in rows), default=0)
        if (known, width) > best_score:
            best, best_score = separator, (known, width)
    return best


# --- workbooks and parquet -------------------------------------------------------


def _workbook(
    data: bytes, label: str, sheet: str | None
) -> tuple[list[Sheet], list[list[Any]] | None, list[str]]:
    from openpyxl.utils.exceptions import InvalidFileException

    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise _not_a_table(label, "the workbook is locked with a password, or of an older kind")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # styling that openpyxl does not know
            found, merged = workbook_cells(data)
    except (
        zipfile.BadZipFile,
        InvalidFileException,
        KeyError,
        ValueError,
        OSError,
        EOFError,
        SyntaxError,  # of the XML inside
    ) as fault:
        raise _not_a_table(label, "the file is not a workbook that can be read") from fault
    settings = next((rows for name, rows in found.items() if _is_trial(name)), None)
    tables = {name: rows for name, rows in found.items() if not _is_trial(name)}
    if sheet is not None:
        if sheet not in tables:
            raise FileError(
                where=label,
                what=f'there is no sheet "{sheet}"',
                rule="The sheet must be in the workbook.",
                next_step=f"Name one of: {', '.join(tables)}.",
            )
        tables = {sheet: tables[sheet]}
    beside, mark = sheets_without_records(tables), workbook_mark(tables)
    sheets = [Sheet(label, name, rows) for name, rows in tables.items() if name not in beside]
    if not any(any(cell is not None for row in one.rows for cell in row) for one in sheets):
        raise _empty(label)
    notes = [
        f"{label}, sheet {name}: some cells are merged; only the first of them holds the text, "
        "the others are read as blank."
        for name in merged
        if name in tables
    ]
    if mark is not None and of_another_version(mark):
        notes.append(f"{label}: made by another version ({mark}); read by its headings.")
    return sheets, settings, notes


def _is_trial(name: str) -> bool:
    return name.strip().lower() == TRIAL_SHEET


def _parquet(data: bytes, label: str, sheet: str | None) -> tuple[list[Sheet], None, list[str]]:
    import pyarrow as pa

    _no_sheet(label, sheet)
    try:
        frame = pd.read_parquet(io.BytesIO(data))
    except (pa.ArrowException, OSError, ValueError) as fault:
        raise _not_a_table(label, "the file is not a parquet table") from fault
    return [sheet_of_frame(frame, label)], None, []


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
    kinded = np.empty(len(values), dtype=object)
    kinded[:] = [_kinded(value) for value in values]
    codes, kinds = pd.factorize(kinded)
    shown = np.array([*[_shown(kind) for kind in kinds], None], dtype=object)
    return list(shown[codes])


def _kinded(value: object) -> object:
    """Blank as None; yes and no as words, so that they are not taken for 1 and 0."""
    if value is None or value is pd.NaT or value is pd.NA or value != value:
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
        return value.to_pydatetime()
    import datetime as dt

    if isinstance(value, dt.datetime | dt.date):
        return value
    return str(value)
