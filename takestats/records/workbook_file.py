"""What stands in the sheets of a workbook, and what must be said of how it was saved?"""

from __future__ import annotations

import warnings
from typing import Any

from takestats.errors import FileError
from takestats.records.limits import hold_rows_to_limits
from takestats.records.typed_sheet import Sheet, empty, not_a_table
from takestats.records.workbook_layout import (
    TRIAL_SHEET,
    of_another_version,
    sheets_without_records,
    workbook_mark,
)
from takestats.records.xlsx_cells import SheetCells, workbook_cells

_OLDER_CONTAINER = b"\xd0\xcf\x11\xe0"
_FIRST_FEW = 10


def workbook(
    data: bytes, label: str, sheet: str | None
) -> tuple[list[Sheet], list[list[Any]] | None, list[str]]:
    """The sheets of records, the trial sheet if there is one, and what must be said."""
    if data.startswith(_OLDER_CONTAINER):
        raise not_a_table(
            label,
            "the workbook is locked with a password, or of an older kind",
            "Save it without a password as .xlsx.",
        )
    found = _cells(data, label)
    settings = next((one.rows for name, one in found.items() if _is_trial(name)), None)
    if settings is not None:
        hold_rows_to_limits(settings, f"{label}, sheet {TRIAL_SHEET}")
    tables = {name: one for name, one in found.items() if not _is_trial(name)}
    if sheet is not None:
        if sheet not in tables:
            raise FileError(
                where=label,
                what=f'there is no sheet "{sheet}"',
                rule="The sheet must be in the workbook.",
                next_step=f"Name one of: {', '.join(tables)}.",
            )
        tables = {sheet: tables[sheet]}
    rows = {name: one.rows for name, one in tables.items()}
    beside, mark = sheets_without_records(rows), workbook_mark(rows)
    kept = {name: one for name, one in tables.items() if name not in beside}
    sheets = [Sheet(label, name, one.rows, one.merged) for name, one in kept.items()]
    if not any(any(cell is not None for row in one.rows for cell in row) for one in sheets):
        raise empty(label)
    notes = [note for name, one in kept.items() for note in _notes(f"{label}, sheet {name}", one)]
    if mark is not None and of_another_version(mark):
        notes.append(f"{label}: made by another version ({mark}); read by its headings.")
    return sheets, settings, notes


def _cells(data: bytes, label: str) -> dict[str, SheetCells]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # styling that openpyxl does not know
            return workbook_cells(data, label)
    except (FileError, MemoryError):
        raise
    except Exception as fault:  # whatever the library meets in a damaged file
        raise not_a_table(label, "the file is not a workbook that can be read") from fault


def _is_trial(name: str) -> bool:
    return name.strip().lower() == TRIAL_SHEET


def _notes(place: str, one: SheetCells) -> list[str]:
    """What the reader of the sheet does not see, and what is read all the same."""
    notes = []
    if one.merged:
        notes.append(
            f"{place}: some cells are merged; only the first of them holds the text, "
            "the others are read as blank."
        )
    if one.hidden:
        notes.append(f"{place}: the sheet is hidden; it is read like the others.")
    if one.hidden_rows:
        few = ", ".join(str(row) for row in one.hidden_rows[:_FIRST_FEW])
        more = " and others" if len(one.hidden_rows) > _FIRST_FEW else ""
        word = "row" if len(one.hidden_rows) == 1 else "rows"
        notes.append(
            f"{place}: {len(one.hidden_rows)} hidden {word} ({few}{more}), read like the others."
        )
    if one.hidden_columns:
        notes.append(f"{place}: some columns are hidden; they are read like the others.")
    return notes
