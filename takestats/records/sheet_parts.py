"""Which sheets are read together, and which of them is a count of the others' trays?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from takestats.errors import FileError
from takestats.records.columns import BY_NAME
from takestats.records.headers import Header, find_header
from takestats.records.merged_header import refuse_merged_header
from takestats.records.typed_sheet import Sheet
from takestats.wording.bench_papers import half_note


@dataclass(eq=False)
class Part:
    """One sheet cut below its header."""

    sheet: Sheet
    header_row: int
    headers: list[Header]
    rows: list[list[Any]]
    numbers: list[int]
    beside: bool = False

    @property
    def known(self) -> set[str]:
        """The columns that its header names."""
        return {header.name for header in self.headers if header.known}


def part_of(sheet: Sheet) -> Part | None:
    """Find the header and the rows below it that are not blank; None without a header."""
    found = find_header(sheet.rows)
    if found is None:
        return None
    at, headers = found
    rows: list[list[Any]] = []
    numbers: list[int] = []
    for number, row in enumerate(sheet.rows[at + 1 :], start=at + 2):
        if any(cell is not None and cell != "" and str(cell).strip() for cell in row):
            rows.append(row)
            numbers.append(number)
    if sheet.merged:
        refuse_merged_header(sheet, at, rows)
    return Part(sheet, at, headers, rows, numbers)


def one_shape(parts: list[Part]) -> None:
    """Sheets of one workbook that are read together tell the same kind of rows."""
    by_file: dict[str, list[Part]] = {}
    for part in parts:
        by_file.setdefault(part.sheet.file, []).append(part)
    for file, group in by_file.items():
        shapes = {_shape(part.known) for part in group}
        if len(shapes) > 1 and _PER_GRAFT in shapes:
            names = ", ".join(part.sheet.sheet for part in group)
            raise FileError(
                where=file,
                what=f"its sheets are of different shapes: {names}",
                rule="Sheets that are read together have rows of trays, or rows of grafts.",
                next_step="Name the one sheet to read.",
            )


def _shape(names: set[str]) -> str:
    if "graft" in names and "grafted" not in names:
        return _PER_GRAFT
    return "one row per tray"


_PER_GRAFT = "one row per graft"


def find_count_sheets(parts: list[Part]) -> None:
    """Beside a record sheet, one with the name of a count tells of the same trays again.

    Its rows that say no more than which tray they are for are not counted yet; like blank
    rows, they are not read.
    """
    with_records = {part.sheet.file for part in parts if "count" not in part.known}
    for part in parts:
        if part.sheet.file not in with_records or "count" not in part.known:
            continue
        part.beside = True
        told = [at for at, header in enumerate(part.headers) if not _says_which(header)]
        notes = [at for at, header in enumerate(part.headers) if header.name == "note"]
        filled = [
            any(_cell(row, at) for at in told)
            or any(_cell(row, at) not in ("", *_HALVES) for at in notes)
            for row in part.rows
        ]
        part.rows = [row for row, kept in zip(part.rows, filled, strict=True) if kept]
        part.numbers = [n for n, kept in zip(part.numbers, filled, strict=True) if kept]


_HALVES = (half_note("left"), half_note("right"))


def _says_which(header: Header) -> bool:
    """Whether a column says which tray a row is for, or what was done to it."""
    if not header.known:
        return not header.typed
    role = BY_NAME[header.name].role
    return role in ("key", "place", "treatment", "note") or header.name in ("count", "grafted")


def _cell(row: list[Any], at: int) -> str:
    return "" if at >= len(row) or row[at] is None else str(row[at]).strip()
