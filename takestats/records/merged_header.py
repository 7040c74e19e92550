"""Does a header stand in one cell, or is it merged over several columns or rows?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from takestats.errors import FileError
from takestats.records.typed_sheet import Sheet


def refuse_merged_header(sheet: Sheet, at: int, rows: Sequence[Sequence[Any]]) -> None:
    """Stop where merged cells leave columns with records in them without a header.

    Parameters
    ----------
    sheet : Sheet
    at : int
        The row of the header, from 0.
    rows : sequence of rows
        Those below it that are not blank.

    Raises
    ------
    FileError
        When the header is merged over several columns that are filled below, or stands in
        merged cells that begin above it.
    """
    for top, bottom, left, right in sheet.merged:
        if not top <= at + 1 <= bottom:
            continue
        covered = range(left + 1 if top == at + 1 else left, right + 1)
        if not any(_filled(row, column - 1) for row in rows for column in covered):
            continue
        from openpyxl.utils import get_column_letter  # only where a workbook was read

        text = sheet.rows[top - 1][left - 1] if left <= len(sheet.rows[top - 1]) else None
        first, last = get_column_letter(left), get_column_letter(right)
        over = f"columns {first} to {last}" if right > left else f"rows {top} to {bottom}"
        raise FileError(
            where=f"{sheet.place}, row {at + 1}",
            what=f'the header "{"" if text is None else text}" is merged over {over}',
            rule="Every column has a header of its own, in one cell above its records.",
            next_step="Take the merging off and write a header above each column.",
        )


def _filled(row: Sequence[Any], place: int) -> bool:
    return place < len(row) and row[place] is not None and str(row[place]).strip() != ""
