"""How large may a file of records be, and what is said of one that is larger?

The limits lie far above a nursery's season (25,000 grafts in 833 trays are 0.02 million
cells as trays, one million as single grafts in forty columns), and far below what fills
a computer. A file above them is refused before it is unpacked or laid out.
"""

from __future__ import annotations

import re
from typing import Any

from takestats.errors import FileError

MOST_BYTES = 200_000_000
"""Of one file, as it stands on the disk."""

MOST_UNPACKED = 300_000_000
"""Of the parts of a workbook, or the columns of a parquet table, once they are unpacked."""

MOST_PARTS = 2_000
"""Parts that a workbook may be packed from."""

MOST_CELLS = 2_000_000
MOST_COLUMNS = 1_000
MOST_ROWS = 1_048_576
"""The last row that a spreadsheet has."""

MOST_CHARACTERS = 32_767
"""Of one cell: what a spreadsheet can hold."""

MOST_HEADER = 200
"""Characters of a header; a longer one is not held against the headers that are known."""

MOST_SETTINGS = 1_000_000
"""Bytes of a file of settings."""

_HALF_LETTER = re.compile("[\ud800-\udfff]")

_SPLIT_IT = "Keep one season to a file and name several files, or take out what is no record."


def too_large(where: str, what: str, rule: str, next_step: str = _SPLIT_IT) -> FileError:
    """The refusal of a file that is above a limit."""
    return FileError(where=where, what=what, rule=rule, next_step=next_step)


def refuse_large_file(size: int, where: str) -> None:
    """Stop before a file is read that is too large to be a season's records."""
    if size > MOST_BYTES:
        raise too_large(
            where,
            f"the file has {size // 1_000_000:,} million bytes",
            f"A file of records has at most {MOST_BYTES // 1_000_000:,} million bytes.",
        )


def refuse_unpacked(size: int, where: str) -> None:
    """Stop before a file is unpacked that would fill the memory."""
    if size > MOST_UNPACKED:
        raise too_large(
            where,
            f"the file holds {size // 1_000_000:,} million bytes, packed",
            f"Unpacked, a file of records has at most {MOST_UNPACKED // 1_000_000:,} million "
            "bytes.",
        )


def refuse_many_cells(cells: int, where: str) -> None:
    """Stop before more cells are laid out than any nursery fills."""
    if cells > MOST_CELLS:
        raise too_large(
            where,
            f"about {cells:,} cells",
            f"A file of records has at most {MOST_CELLS:,} cells, blank ones counted.",
        )


def hold_rows_to_limits(rows: list[list[Any]], where: str) -> None:
    """Refuse rows that are too wide and texts that are too long; cut blanks off wide rows."""
    for number, row in enumerate(rows, start=1):
        if len(row) > MOST_COLUMNS:
            while row and (row[-1] is None or row[-1] == ""):
                row.pop()
            refuse_wide(len(row), f"{where}, row {number}")
        for place, cell in enumerate(row, start=1):
            if type(cell) is not str:
                continue
            if not cell.isascii() and _HALF_LETTER.search(cell):
                raise FileError(
                    where=f"{where}, row {number}, column {place}",
                    what="half a letter, which cannot be shown or written",
                    rule="A cell holds whole letters.",
                    next_step="Type the cell again.",
                )
            if len(cell) > MOST_CHARACTERS:
                raise too_large(
                    f"{where}, row {number}, column {place}",
                    f"one cell with {len(cell):,} characters",
                    f"A cell has at most {MOST_CHARACTERS:,} characters, as in a spreadsheet.",
                    "Shorten the cell; in a text file, look for a double quote that is opened "
                    "and not closed.",
                )


def refuse_wide(columns: int, where: str) -> None:
    """Stop at a row that is wider than any table of records."""
    if columns > MOST_COLUMNS:
        raise too_large(
            where,
            f"{columns:,} cells in one row",
            f"A table of records has at most {MOST_COLUMNS:,} columns.",
            "Keep the columns of the records only, one row per tray, count or graft.",
        )
