"""How does a sheet of a record workbook look, on the screen and on paper?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

from takestats.records.columns import BY_NAME
from takestats.records.workbook_layout import typed_as_text

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

LINE_POINTS, WRITTEN_POINTS = 15, 20
"""Heights of a printed line, and of one that is written on by hand."""

TEXT, DATE, WHOLE = "@", "d mmm yyyy", "0"
"""How cells are shown: as typed, as a day, as a whole number."""

_INK, _RULE, _TINT = "FF22303F", "FFDDE4EA", "FFEEF2F5"
_WIDTHS = {"plant": 24, "method": 14, "word": 14, "date": 12, "whole": 10, "length": 12}
_OTHER_WIDTH, _NOTE_WIDTH, _MARGIN = 10, 24, 0.4
_A4 = 9


def put(cell: Cell, value: object) -> None:
    """Write a value; a text that begins like a formula stays text."""
    cell.value = value
    if isinstance(value, str):
        cell.data_type = "s"


def put_formula(cell: Cell, formula: str) -> None:
    """Write a formula of our own; its value is worked out when the workbook is opened."""
    cell.value = f"={formula}"


def format_of(name: str) -> str:
    """How the cells of a column are shown; text keeps fractions and names from becoming dates."""
    column = BY_NAME[name]
    if typed_as_text(column):
        return TEXT
    return DATE if column.kind == "date" else WHOLE


def width_of(name: str, heading: str) -> float:
    """How wide a column is, for its cells and its heading."""
    usual = _NOTE_WIDTH if name == "note" else _WIDTHS.get(BY_NAME[name].kind, _OTHER_WIDTH)
    return max(usual, 3 + max(len(word) for word in heading.split()))


def as_heading(sheet: Worksheet, row: int, at: int, words: str) -> None:
    """Write the heading of a column."""
    cell = sheet.cell(row, at, words)
    cell.font = font(bold=True)
    cell.fill = PatternFill("solid", fgColor=_TINT)
    cell.alignment = Alignment(wrap_text=True, vertical="bottom")
    cell.border = Border(bottom=Side(style="medium", color=_INK))


def ruled() -> Border:
    """The lines round a cell that is filled in."""
    thin = Side(style="thin", color=_RULE)
    return Border(bottom=thin, right=thin)


def font(*, bold: bool) -> Font:
    """The letters of a cell."""
    return Font(name="Calibri", size=11, bold=bold, color=_INK)


def print_on_a4(sheet: Worksheet, area: str, *, landscape: bool) -> None:
    """Print this part, as wide as the page (a page of another size is fitted too)."""
    sheet.print_area = area
    sheet.page_setup.paperSize = _A4
    sheet.page_setup.orientation = "landscape" if landscape else "portrait"
    sheet.page_margins.left = sheet.page_margins.right = sheet.page_margins.top = _MARGIN
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
