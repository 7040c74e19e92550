"""How is a record workbook written, so that what is filled in can be read back?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from takestats.pages.workbook_bytes import workbook_bytes
from takestats.pages.workbook_rules import SheetRules
from takestats.records.columns import BY_NAME
from takestats.records.known_settings import BY_PLACE
from takestats.records.workbook_layout import (
    HOW_TO_SHEET,
    LISTS_SHEET,
    MARK,
    RECORDS_SHEET,
    TRIAL_HEADINGS,
    TRIAL_SHEET,
    WorkbookLayout,
    heading,
    offered_words,
    typed_as_text,
)
from takestats.wording.workbook import (
    BOOK_TITLE,
    CAUTIONS_TITLE,
    FOOTER,
    caution_lines,
    cell_prompt,
    how_to_lines,
)

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

LINES_READY = 200
"""Lines that are ruled and printed; the rules of the cells reach further."""

LINES_CHECKED = 5000
"""Lines in which cells are checked while somebody types."""

_INK, _RULE, _TINT = "FF22303F", "FFDDE4EA", "FFEEF2F5"
_WIDTHS = {"plant": 24, "method": 14, "word": 14, "date": 12, "whole": 10, "length": 12}
_OTHER_WIDTH, _NOTE_WIDTH, _MARGIN = 10, 24, 0.4
_A4 = 9
_LINE, _WRITTEN, _HOW_TO_WIDTH = 15, 20, 90
_TEXT, _DATE = "@", "d mmm yyyy"


@dataclass(frozen=True, kw_only=True)
class RecordBook:
    """Everything that a record workbook is made of.

    Parameters
    ----------
    file : str
        The name it is saved under; the how-to sheet names it.
    layout : WorkbookLayout
        The columns of the record sheet.
    settings : tuple of (str, str)
        The trial sheet: key and value, as in a settings file.
    words : mapping of str to tuple of str
        For a column, the nursery's own words; they stand first in its list.
    tray_size : int, optional
        Cells in a tray, where all trays are alike.
    rows : tuple of mapping
        Cells that are filled in already, by column name; one mapping per row.
    locked : tuple of str
        Columns that cannot be typed over, for rows given to trays by lot.
    banner : str
        The INVENTED DATA or citation line; blank for a nursery's own records.
    how_to : tuple of str
        The lines of the how-to sheet, where they are other than the usual ones.
    """

    file: str
    layout: WorkbookLayout
    settings: tuple[tuple[str, str], ...]
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    tray_size: int | None = None
    rows: tuple[Mapping[str, object], ...] = ()
    locked: tuple[str, ...] = ()
    banner: str = ""
    how_to: tuple[str, ...] = ()

    @property
    def lines_ready(self) -> int:
        """Lines that are ruled and printed: those filled in, or enough for a season."""
        return len(self.rows) or LINES_READY


def record_workbook(book: RecordBook) -> bytes:
    """Make a record workbook: records, trial, how to, and the words of its lists.

    Parameters
    ----------
    book : RecordBook

    Returns
    -------
    bytes
        An .xlsx file; the same book gives the same bytes.
    """
    made = Workbook()
    records = made.active
    records.title = RECORDS_SHEET
    trial = made.create_sheet(TRIAL_SHEET)
    how_to = made.create_sheet(HOW_TO_SHEET)
    lists = made.create_sheet(LISTS_SHEET)
    ranges = _write_lists(lists, book)
    _write_records(records, book, ranges)
    _write_trial(trial, book)
    _write_how_to(how_to, book)
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
        sheet.cell(1, at, heading(name)).font = _font(bold=True)
        for row, word in enumerate(words, start=2):
            cell = sheet.cell(row, at, word)
            cell.number_format, cell.data_type = _TEXT, "s"
        sheet.column_dimensions[letter].width = 30
        ranges[name] = f"{LISTS_SHEET}!${letter}$2:${letter}${len(words) + 1}"
    sheet.sheet_state = "hidden"
    return ranges


def _write_records(sheet: Worksheet, book: RecordBook, ranges: Mapping[str, str]) -> None:
    columns = book.layout.columns
    top = 1
    if book.banner:
        sheet.cell(1, 1, book.banner).font = _font(bold=True)
        top = 2
    for at, (name, words) in enumerate(zip(columns, book.layout.headings, strict=True), start=1):
        _as_heading(sheet, top, at, words)
        column = sheet.column_dimensions[get_column_letter(at)]
        kind = BY_NAME[name].kind
        usual = _NOTE_WIDTH if name == "note" else _WIDTHS.get(kind, _OTHER_WIDTH)
        column.width = max(usual, 3 + max(len(word) for word in words.split()))
        column.number_format = _format_of(name)
        column.protection = Protection(locked=name in book.locked)
    sheet.row_dimensions[top].height = 3 * _LINE
    _rule_lines(sheet, book, top + 1)
    rules = SheetRules(
        layout=book.layout,
        first_row=top + 1,
        last_row=top + LINES_CHECKED,
        lists=ranges,
        tray_size=book.tray_size,
    )
    for name in columns:
        sheet.add_data_validation(rules.validation(name))
    kept = columns.index("tray") + 2 if "tray" in columns else 1
    sheet.freeze_panes = f"{get_column_letter(kept)}{top + 1}"
    last = get_column_letter(len(columns))
    _print_on_a4(sheet, f"A1:{last}{top + book.lines_ready}", landscape=True)
    sheet.print_title_rows = f"{top}:{top}"
    sheet.print_options.gridLines = True
    sheet.oddFooter.left.text = FOOTER
    sheet.oddFooter.right.text = "&P / &N"
    if book.locked:
        sheet.protection.sheet = True
        sheet.protection.formatColumns = False


def _rule_lines(sheet: Worksheet, book: RecordBook, first: int) -> None:
    """Set the ready lines one by one: a cell with a rule of its own forgets its column's."""
    edge = Border(bottom=Side(style="thin", color=_RULE), right=Side(style="thin", color=_RULE))
    for line in range(book.lines_ready):
        given = book.rows[line] if line < len(book.rows) else {}
        sheet.row_dimensions[first + line].height = _WRITTEN
        for at, name in enumerate(book.layout.columns, start=1):
            cell = sheet.cell(first + line, at)
            cell.border = edge
            cell.number_format = _format_of(name)
            cell.protection = Protection(locked=name in book.locked)
            if given.get(name) is not None:
                _put(cell, given[name])


def _put(cell: object, value: object) -> None:
    """Write a value; a text that begins like a formula stays text."""
    cell.value = value  # type: ignore[attr-defined]
    if isinstance(value, str):
        cell.data_type = "s"  # type: ignore[attr-defined]


def _format_of(name: str) -> str:
    column = BY_NAME[name]
    if typed_as_text(column):
        return _TEXT
    return _DATE if column.kind == "date" else "0"


def _as_heading(sheet: Worksheet, row: int, at: int, words: str) -> None:
    cell = sheet.cell(row, at, words)
    cell.font = _font(bold=True)
    cell.fill = PatternFill("solid", fgColor=_TINT)
    cell.alignment = Alignment(wrap_text=True, vertical="bottom")
    cell.border = Border(bottom=Side(style="medium", color=_INK))


def _write_trial(sheet: Worksheet, book: RecordBook) -> None:
    for at, words in enumerate(TRIAL_HEADINGS, start=1):
        _as_heading(sheet, 1, at, words)
    for row, (key, value) in enumerate(book.settings, start=2):
        for at, text in enumerate((key, value), start=1):
            cell = sheet.cell(row, at)
            _put(cell, text if text else None)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
        rule = _setting_rule(key)
        if rule is not None:
            rule.add(f"B{row}")
            sheet.add_data_validation(rule)
    for letter, width in (("A", 34), ("B", 60)):
        sheet.column_dimensions[letter].width = width
        sheet.column_dimensions[letter].number_format = _TEXT
    for row in range(2, len(book.settings) + 2):
        sheet.cell(row, 1).number_format = sheet.cell(row, 2).number_format = _TEXT
    sheet.freeze_panes = "A2"
    _print_on_a4(sheet, f"A1:B{len(book.settings) + 1}", landscape=False)


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
            _put(cell, words if words else None)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.font = _font(bold=row in titles or text == book.banner != "")
        sheet.row_dimensions[row].height = _LINE * max(1, -(-len(text) // _HOW_TO_WIDTH))
    sheet.column_dimensions["A"].width = 8
    sheet.column_dimensions["B"].width = _HOW_TO_WIDTH + 5
    _print_on_a4(sheet, f"A1:B{len(rows)}", landscape=False)


def _font(*, bold: bool) -> Font:
    return Font(name="Calibri", size=11, bold=bold, color=_INK)


def _print_on_a4(sheet: Worksheet, area: str, *, landscape: bool) -> None:
    sheet.print_area = area
    sheet.page_setup.paperSize = _A4
    sheet.page_setup.orientation = "landscape" if landscape else "portrait"
    sheet.page_margins.left = sheet.page_margins.right = sheet.page_margins.top = _MARGIN
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
