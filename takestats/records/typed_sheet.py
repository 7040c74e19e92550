"""What is one sheet as typed, and what is said of a file that holds none?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from takestats.errors import FileError

CONVERTED = "Save it as .csv, .tsv, .xlsx or .parquet."


@dataclass(frozen=True, eq=False)
class Sheet:
    """One sheet as typed: every cell text, a date, or None for a blank.

    ``merged`` holds first row, last row, first column and last column of merged cells,
    each from 1.
    """

    file: str
    sheet: str
    rows: list[list[Any]]
    merged: tuple[tuple[int, int, int, int], ...] = ()

    @property
    def place(self) -> str:
        """The file, and the sheet if there are several."""
        return f"{self.file}, sheet {self.sheet}" if self.sheet else self.file


def empty(label: str) -> FileError:
    """The refusal of a file with nothing in it."""
    return FileError(
        where=label,
        what="the file is empty",
        rule="A file of records has a header and at least one row.",
        next_step="Check that the right file was saved.",
    )


def not_a_table(label: str, what: str, next_step: str = CONVERTED) -> FileError:
    """The refusal of a file that cannot be read as a table."""
    return FileError(
        where=label,
        what=what,
        rule="Records are a table with a header, one row per tray, count or graft.",
        next_step=next_step,
    )


def refuse_named_sheet(label: str, sheet: str | None) -> None:
    """Stop where a sheet is asked for in a file that has none."""
    if sheet is not None:
        raise FileError(
            where=label,
            what=f'the sheet "{sheet}" was asked for',
            rule="Only a workbook has sheets.",
            next_step="Leave the sheet out.",
        )
