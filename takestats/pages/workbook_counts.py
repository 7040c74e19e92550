"""Which sheet takes a count beside the settled one, its trays filled in and locked?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.utils import get_column_letter

from takestats.pages.record_book import RecordBook, cells_of
from takestats.pages.workbook_lines import write_lines
from takestats.pages.workbook_rules import SheetRules
from takestats.records.columns import COLUMNS
from takestats.records.workbook_layout import COUNT_SHEETS, WorkbookLayout, heading

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_COUNTED = ("count", "count_date", "taken", "understock_dead", "missing", "note")
ALIVE = "alive"
"""What `taken` is called at a count of its own; it is read as the same column."""


def write_count(sheet: Worksheet, book: RecordBook, count: str) -> None:
    """Write the sheet of one count: each row of the record sheet again, to be counted.

    Parameters
    ----------
    sheet : Worksheet
    book : RecordBook
        Its rows are those of a bench layout.
    count : str
        As the records name it.
    """
    columns = count_columns(book, count)
    locked = tuple(name for name in columns if name in (*book.locked, "count"))
    rows = tuple({**row, "count": count, "note": row.get("note")} for row in book.rows)
    layout = WorkbookLayout(columns=columns, caliper_unit=book.layout.caliper_unit)
    rules = SheetRules(
        layout=layout,
        first_row=book.first_row,
        last_row=book.last_row,
        lists={},
        tray_size=book.tray_size,
        locked=locked,
        grafted="" if book.layout.row_per_graft else _grafts_made(book, columns),
    )
    headings = tuple(
        ALIVE if name == "taken" else heading(name, book.layout.caliper_unit) for name in columns
    )
    write_lines(sheet, book, columns, headings, rows, rules)


def count_columns(book: RecordBook, count: str) -> tuple[str, ...]:
    """The columns of the sheet of a count, in their order."""
    more = ("saleable",) if count == "season end" else ()
    wanted = {*book.locked, *_COUNTED, *more}
    return tuple(column.name for column in COLUMNS if column.name in wanted)


def counted_cells(book: RecordBook, count: str, name: str) -> str:
    """The cells of a column on the sheet of a count, for a formula of another sheet."""
    columns = count_columns(book, count)
    return cells_of(COUNT_SHEETS[count], columns, name, book.first_row, book.last_row)


def _grafts_made(book: RecordBook, columns: tuple[str, ...]) -> str:
    """The grafts made in the tray, or the half of a tray, of the first line; it may move down.

    Found by the tray, and by what tells its halves apart, not by the line, so that a sorted
    sheet stays right. A rule of a cell holds 255 signs at most.
    """
    keys = [name for name in columns if name in ("tray", book.halves_by)]
    cells = [f"${get_column_letter(columns.index(name) + 1)}{book.first_row}" for name in keys]
    pairs = [f'{book.cells_of(name)},"="&{cell}' for name, cell in zip(keys, cells, strict=True)]
    return f"SUMIFS({book.cells_of('grafted')},{','.join(pairs)})"
