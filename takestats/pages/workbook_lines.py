"""How is a sheet of lines written: headings, rows given beforehand, rules, and a page to print?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from typing import TYPE_CHECKING

from openpyxl.styles import Protection
from openpyxl.utils import get_column_letter

from takestats.pages.record_book import RecordBook
from takestats.pages.workbook_look import (
    LINE_POINTS,
    WRITTEN_POINTS,
    as_heading,
    font,
    format_of,
    print_on_a4,
    put,
    ruled,
    width_of,
)
from takestats.pages.workbook_rules import SheetRules
from takestats.wording.workbook import FOOTER

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

MOST_LINES_RULED = 2000
"""Beyond, a blank cell has the rules of its column only, without lines around it: a sheet of
single grafts is written, opened and read in half the time."""

_WIDEST = 40


def write_lines(
    sheet: Worksheet,
    book: RecordBook,
    columns: Sequence[str],
    headings: Sequence[str],
    rows: Sequence[Mapping[str, object]],
    rules: SheetRules,
) -> None:
    """Write a sheet of lines: of the records, or of one of their counts.

    Parameters
    ----------
    sheet : Worksheet
    book : RecordBook
        What is locked, the banner, and how many lines are ready.
    columns, headings : sequence of str
    rows : sequence of mapping
        Cells that are filled in already, by column name.
    rules : SheetRules
    """
    first = book.first_row
    if book.banner:
        sheet.cell(1, 1, book.banner).font = font(bold=True)
    for at, (name, words) in enumerate(zip(columns, headings, strict=True), start=1):
        as_heading(sheet, first - 1, at, words)
        column = sheet.column_dimensions[get_column_letter(at)]
        longest = max((len(str(row.get(name) or "")) for row in rows), default=0)
        column.width = max(width_of(name, words), min(longest + 2, _WIDEST))
        column.number_format = format_of(name)
        column.protection = Protection(locked=name in rules.locked)
    sheet.row_dimensions[first - 1].height = 3 * LINE_POINTS
    _ready_lines(sheet, book, columns, rows, rules.locked)
    for name in columns:
        sheet.add_data_validation(rules.validation(name))
    kept = max(columns.index(name) for name in ("tray", "graft") if name in columns) + 2
    sheet.freeze_panes = f"{get_column_letter(kept)}{first}"
    last = get_column_letter(len(columns))
    print_on_a4(sheet, f"A1:{last}{first + book.lines_ready - 1}", landscape=True)
    sheet.print_title_rows = f"{first - 1}:{first - 1}"
    sheet.print_options.gridLines = True
    sheet.oddFooter.left.text = FOOTER
    sheet.oddFooter.right.text = "&P / &N"
    if rules.locked:
        sheet.protection.sheet = True
        sheet.protection.formatColumns = False


def _ready_lines(
    sheet: Worksheet,
    book: RecordBook,
    columns: Sequence[str],
    rows: Sequence[Mapping[str, object]],
    locked: Sequence[str],
) -> None:
    """Set the ready lines one by one: a cell with a rule of its own forgets its column's."""
    first, edge = book.first_row, ruled()
    looks = []
    for at, name in enumerate(columns, start=1):
        cell = sheet.cell(first, at)
        cell.border = edge
        cell.number_format = format_of(name)
        cell.protection = Protection(locked=name in locked)
        looks.append(cell._style)  # a style set part by part takes ten times as long
    sparse = book.lines_ready > MOST_LINES_RULED
    for line in range(book.lines_ready):
        given = rows[line] if line < len(rows) else {}
        sheet.row_dimensions[first + line].height = WRITTEN_POINTS
        for at, name in enumerate(columns, start=1):
            if sparse and given.get(name) is None:
                continue
            cell = sheet.cell(first + line, at)
            cell._style = copy(looks[at - 1])
            if given.get(name) is not None:
                put(cell, given[name])
