"""What stands in a file, cell by cell, before any of it is understood?"""

from __future__ import annotations

import hashlib
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from takestats.errors import FileError
from takestats.records.file_bytes import bytes_of, cannot_open
from takestats.records.frame_cells import sheet_of_frame
from takestats.records.limits import hold_rows_to_limits
from takestats.records.text_table import text_table
from takestats.records.typed_sheet import CONVERTED, Sheet, empty, refuse_named_sheet

KINDS = (".csv", ".tsv", ".xlsx", ".parquet")
LARGE_TEXT = 1_000_000
"""Bytes of a text file from which single grafts are read block by block."""


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
    try:
        known = path.stat()
    except (OSError, ValueError):  # told where it is read
        return False
    if not stat.S_ISREG(known.st_mode):
        return False
    return kind == ".parquet" or (kind in (".csv", ".tsv") and known.st_size >= LARGE_TEXT)


def read_file(path: Path, label: str, sheet: str | None) -> FileContent:
    """Read one file whole; refuse what is missing, empty, too large or not a table."""
    kind = path.suffix.lower()
    _refuse_no_file(path, label, kind)
    data = bytes_of(path, label)
    if not data.strip():
        raise empty(label)
    settings: list[list[Any]] | None = None
    if kind == ".xlsx":
        from takestats.records.workbook_file import workbook

        sheets, settings, notes = workbook(data, label, sheet)
    else:
        refuse_named_sheet(label, sheet)
        if kind == ".parquet":
            from takestats.records.parquet_cells import parquet_frame

            sheets, notes = [sheet_of_frame(parquet_frame(data, label), label)], []
        else:
            sheets, notes = text_table(data, label)
    for one in sheets:
        hold_rows_to_limits(one.rows, one.place)
    digest = hashlib.sha256(data).hexdigest()
    return FileContent(label, sheets, settings, digest, tuple(notes))


def _refuse_no_file(path: Path, label: str, kind: str) -> None:
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        near = sorted(p.name for p in path.parent.glob("*") if p.suffix in KINDS)[:5]
        found = f" Records in that folder: {', '.join(near)}." if near else ""
        raise FileError(
            where=label,
            what="there is no such file",
            rule="The records must be in a file that exists.",
            next_step=f"Check the name and the folder.{found}",
        ) from None
    except (OSError, ValueError) as fault:
        raise cannot_open(label, fault) from fault
    if stat.S_ISDIR(mode):
        raise FileError(
            where=label or str(path),
            what="this is a folder",
            rule="Records are read from files.",
            next_step="Name the files in it, one or several.",
        )
    if not stat.S_ISREG(mode):
        raise FileError(
            where=label,
            what="this is a device or a pipe, not a file",
            rule="Records are read from files.",
            next_step="Save the records in a file and name that.",
        )
    if kind == ".xls":
        raise FileError(
            where=label,
            what="a workbook of the older kind (.xls)",
            rule="Records are read from .csv, .tsv, .xlsx or .parquet files.",
            next_step="Open it in the spreadsheet and save it as .xlsx.",
        )
    if kind not in KINDS:
        raise FileError(
            where=label,
            what=f'a file ending in "{path.suffix}"',
            rule="Records are read from .csv, .tsv, .xlsx or .parquet files.",
            next_step=CONVERTED,
        )


LARGE_TEXT = 1_000_000
"""Bytes of a text file from which single grafts are read block by block."""
