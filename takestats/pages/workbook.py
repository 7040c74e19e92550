"""How is a record workbook written, so that what is filled in can be read back?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from openpyxl import Workbook
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from takestats.pages.record_book import LINES_CHECKED as LINES_CHECKED
from takestats.pages.record_book import LINES_READY as LINES_READY
from takestats.pages.record_book import RecordBook as RecordBook
from takestats.pages.workbook_bytes import workbook_bytes
from takestats.pages.workbook_counts import write_count
from takestats.pages.workbook_lines import write_lines
from takestats.pages.workbook_look import (
    LINE_POINTS,
    TEXT,
    as_heading,
    font,
    print_on_a4,
    put,
)
from takestats.pages.workbook_rules import SheetRules
from takestats.pages.workbook_week import write_week
from takestats.records.columns import BY_NAME
from takestats.records.known_settings import BY_PLACE
from takestats.records.workbook_layout import (
    COUNT_SHEETS,
    HOW_TO_SHEET,
    LISTS_SHEET,
    MARK,
    RECORDS_SHEET,
    TRIAL_HEADINGS,
    TRIAL_SHEET,
    heading,
    offered_words,
)
from takestats.wording.workbook import (
    BOOK_TITLE,
    CAUTIONS_TITLE,
    caution_lines,
    cell_prompt,
    how_to_lines,
)

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_HOW_TO_WIDTH = 90


def record_workbook(book: RecordBook) -> bytes:
    """Make a record workbook: the week, records, counts, trial, how to, and words of lists.

    Parameters
    ----------
    book : RecordBook

    Returns
    -------
    bytes
        An .xlsx file; the same book gives the same bytes.
    """
    made = Workbook()
    made.active.title = book.layout.sheets[0]
    sheets = {name: made.create_sheet(name) for name in book.layout.sheets[1:]}
    ranges = _write_lists(sheets[LISTS_SHEET], book)
    write_week(made.active, book)
    _write_records(sheets[RECORDS_SHEET], book, ranges)
    for count in book.layout.counts:
        write_count(sheets[COUNT_SHEETS[count]], book, count)
    _write_trial(sheets[TRIAL_SHEET], book)
    _write_how_to(sheets[HOW_TO_SHEET], book)
    return workbook_bytes(made)


def _write_lists(sheet: Worksheet, book: RecordBook) -> dict[str, str]:
    """Write the words of each drop-down list in a column; return where they stand."""
    ranges: dict[str, str] = {}
    for name in book.layout.columns:
        words = offered_words(name, book.words.get(name, ()))
        if not words:
            continue
        at = len(ranges) + 1
        letter = get_column_letter(at)
        sheet.cell(1, at, heading(name)).font = font(bold=True)
        for row, word in enumerate(words, start=2):
            cell = sheet.cell(row, at, word)
            cell.number_format, cell.data_type = TEXT, "s"
        sheet.column_dimensions[letter].width = 30
        ranges[name] = f"{LISTS_SHEET}!${letter}$2:${letter}${len(words) + 1}"
    sheet.sheet_state = "hidden"
    return ranges


def _write_records(sheet: Worksheet, book: RecordBook, ranges: Mapping[str, str]) -> None:
    first = book.first_row
    rules = SheetRules(
        layout=book.layout,
        first_row=first,
        last_row=first + LINES_CHECKED - 1 if len(book.rows) < LINES_CHECKED else book.last_row,
        lists=ranges,
        tray_size=book.tray_size,
        locked=book.locked,
    )
    write_lines(sheet, book, book.layout.columns, book.layout.headings, book.rows, rules)


def _write_trial(sheet: Worksheet, book: RecordBook) -> None:
    for at, words in enumerate(TRIAL_HEADINGS, start=1):
        as_heading(sheet, 1, at, words)
    for row, (key, value) in enumerate(book.settings, start=2):
        for at, text in enumerate((key, value), start=1):
            cell = sheet.cell(row, at)
            put(cell, text if text else None)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        rule = _setting_rule(key)
        if rule is not None:
            rule.add(f"B{row}")
            sheet.add_data_validation(rule)
    for letter, width in (("A", 34), ("B", 60)):
        sheet.column_dimensions[letter].width = width
        sheet.column_dimensions[letter].number_format = TEXT
    for row in range(2, len(book.settings) + 2):
        sheet.cell(row, 1).number_format = sheet.cell(row, 2).number_format = TEXT
    sheet.freeze_panes = "A2"
    print_on_a4(sheet, f"A1:B{len(book.settings) + 1}", landscape=False)


def _setting_rule(key: str) -> DataValidation | None:
    """What a setting means, shown when its cell is chosen, and the words it may be."""
    section, _, name = key.rpartition(".")
    setting = BY_PLACE.get((section, name))
    if setting is None:
        return None
    words = ("yes", "no") if setting.kind == "yes_no" else setting.one_of
    rule = DataValidation(allow_blank=True)
    if words:
        rule = DataValidation(type="list", formula1=f'"{",".join(words)}"', allow_blank=True)
        rule.showErrorMessage = True
    rule.promptTitle = name.replace("_", " ")[:31]
    rule.prompt = cell_prompt(setting.meaning, "")
    rule.showInputMessage = True
    return rule


def _write_how_to(sheet: Worksheet, book: RecordBook) -> None:
    text_cells = tuple(
        words
        for name, words in zip(book.layout.columns, book.layout.headings, strict=True)
        if name == "tray" or BY_NAME[name].kind in ("length", "height", "season")
    )
    lines = book.how_to or how_to_lines(
        file=book.file, text_cells=text_cells, lines_ready=LINES_READY
    )
    rows: list[tuple[str, str]] = [("", book.banner)] if book.banner else []
    rows.append(("", BOOK_TITLE))
    titles = {len(rows)}
    rows += [(str(number), line) for number, line in enumerate(lines, start=1)]
    rows += [("", ""), ("", CAUTIONS_TITLE)]
    titles.add(len(rows))
    rows += [("", line) for line in caution_lines()]
    rows += [("", ""), (MARK, book.layout.mark)]
    for row, (first, text) in enumerate(rows, start=1):
        for at, words in enumerate((first, text), start=1):
            cell = sheet.cell(row, at)
            put(cell, words if words else None)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.font = font(bold=row in titles or text == book.banner != "")
        sheet.row_dimensions[row].height = LINE_POINTS * max(1, -(-len(text) // _HOW_TO_WIDTH))
    sheet.column_dimensions["A"].width = 8
    sheet.column_dimensions["B"].width = _HOW_TO_WIDTH + 5
    print_on_a4(sheet, f"A1:B{len(rows)}", landscape=False)
