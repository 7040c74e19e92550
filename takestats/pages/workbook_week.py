"""What is grafted, left and due this week? The first sheet of a record workbook.

Plain formulas over the record sheet, no macros. They are worked out when the workbook is
opened in a spreadsheet; a reader that works out nothing meets blanks, never old figures.
The rule of the due count is that of `takestats check`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from openpyxl.styles import Alignment, Protection

from takestats.pages.record_book import RecordBook
from takestats.pages.workbook_counts import counted_cells
from takestats.pages.workbook_look import (
    DATE,
    LINE_POINTS,
    TEXT,
    WHOLE,
    as_heading,
    font,
    print_on_a4,
    put,
    put_formula,
    ruled,
)
from takestats.records.pairs import split_pair
from takestats.records.season_so_far import WEEKS_AFTER_BUD_BREAK, WEEKS_AFTER_GRAFTING
from takestats.records.words import COUNT_NAMES
from takestats.records.workbook_layout import MARK
from takestats.wording import workbook_week as words
from takestats.wording.bench_papers import place_words
from takestats.wording.numbers import plain
from takestats.wording.workbook import FOOTER

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

_WIDTHS = (34, 30, 16, 18, 12)
_LETTERS_A_LINE = 100
_DAYS = 7


def write_week(sheet: Worksheet, book: RecordBook) -> None:
    """Write the sheet of the week.

    Parameters
    ----------
    sheet : Worksheet
    book : RecordBook
        With rows given beforehand the trays are listed, each with what is next; without them
        the lines of the record sheet are tallied.
    """
    page = _Page(sheet)
    if book.banner:
        page.line(book.banner, bold=True)
    page.line(words.TITLE, bold=True)
    day = page.cell(words.DAY, "TODAY()", DATE, note=words.DAY_HOW, open_=True)
    monday = page.cell(words.MONDAY, f"{day}-WEEKDAY({day},2)+1", DATE)
    due = _Due(book, page, day)
    dated = book.cells_of("graft_date")
    this_week = f'{dated},">="&{monday},{dated},"<"&{monday}+{_DAYS}'
    if book.layout.row_per_graft:
        made, since = f'COUNTIF({dated},"<>")', f"COUNTIFS({this_week})"
    else:
        made = f"SUM({book.cells_of('grafted')})"
        since = f"SUMIFS({book.cells_of('grafted')},{this_week})"
    page.cell(words.MADE, made, WHOLE)
    page.cell(words.MADE_THIS_WEEK, since, WHOLE)
    if book.rows:
        _write_trays(page, book, due)
    else:
        taken = book.cells_of("taken")
        grafted = (
            f'{dated},"<>"' if book.layout.row_per_graft else f'{book.cells_of("grafted")},">0"'
        )
        page.cell(words.LINES_MADE, f"COUNTIF({grafted})", WHOLE, note=words.LINES_HOW)
        page.cell(words.LINES_DUE, due.lines(f'{grafted},{taken},"="'), WHOLE, bold=True)
        page.cell(words.LINES_COUNTED, f'COUNTIF({taken},">=0")', WHOLE)
        page.paragraph(due.told)
        page.paragraph(words.SEASON_HOW)
        _write_wanted(page, book)
    page.row += 1
    page.texts((MARK, book.layout.mark))
    for letter, width in zip("ABCDE", _WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.protection.sheet = True
    sheet.protection.formatColumns = False
    print_on_a4(sheet, f"A1:E{page.row - 1}", landscape=False)
    sheet.oddFooter.left.text = FOOTER
    sheet.oddFooter.right.text = "&P / &N"


class _Page:
    """A sheet that is written from the top down."""

    def __init__(self, sheet: Worksheet) -> None:
        self.sheet, self.row = sheet, 1

    def line(self, text: str, *, bold: bool = False) -> None:
        """One line of words."""
        put(self.sheet.cell(self.row, 1), text)
        self.sheet.cell(self.row, 1).font = font(bold=bold)
        self.row += 1

    def paragraph(self, text: str) -> None:
        """Words over the width of the page."""
        self.sheet.merge_cells(start_row=self.row, end_row=self.row, start_column=1, end_column=5)
        put(self.sheet.cell(self.row, 1), text)
        self.sheet.cell(self.row, 1).alignment = Alignment(wrap_text=True, vertical="top")
        lines = -(-len(text) // _LETTERS_A_LINE)
        self.sheet.row_dimensions[self.row].height = LINE_POINTS * lines
        self.row += 1

    def texts(self, cells: Sequence[str]) -> None:
        """A row of words."""
        for at, text in enumerate(cells, start=1):
            put(self.sheet.cell(self.row, at), text or None)
        self.row += 1

    def cell(
        self,
        name: str,
        formula: str,
        form: str,
        *,
        note: str = "",
        bold: bool = False,
        open_: bool = False,
    ) -> str:
        """A name and its formula; return the cell, for other formulas."""
        put(self.sheet.cell(self.row, 1), name)
        cell = self.sheet.cell(self.row, 2)
        put_formula(cell, formula)
        cell.number_format, cell.border = form, ruled()
        cell.alignment = Alignment(horizontal="left")
        cell.protection = Protection(locked=not open_)
        for place in (self.sheet.cell(self.row, 1), cell):
            place.font = font(bold=bold)
        put(self.sheet.cell(self.row, 3), note or None)
        self.row += 1
        return f"$B${self.row - 1}"


class _Due:
    """When a count is due, as a formula; the rule is that of `records/season_so_far.py`."""

    def __init__(self, book: RecordBook, page: _Page, day: str) -> None:
        self.count = book.setting("records.count") or "settled"
        usual = WEEKS_AFTER_GRAFTING.get(self.count)
        broken = self.count == "settled" and "bud_break_date" in book.layout.columns
        own, self.dated = (
            book.setting_cell("records.count_after_weeks"),
            book.cells_of("graft_date"),
        )
        self.broke = book.cells_of("bud_break_date") if broken else ""
        self.told = words.due_how(self.count, usual, WEEKS_AFTER_BUD_BREAK if broken else None)
        self.own = f'TRIM({own})<>""' if own else "FALSE"
        usual_text = '""' if usual is None else plain(usual)
        number = f'IFERROR(VALUE({own}),VALUE(SUBSTITUTE({own},".",",")))'
        weeks = page.cell(
            words.WEEKS, f"IF({self.own},{number},{usual_text})" if own else usual_text, "General"
        )
        self.limit = f"{day}-{_DAYS}*N({weeks})"
        self.known = f"ISNUMBER({weeks})"
        self.broke_limit = f"{day}-{_DAYS * WEEKS_AFTER_BUD_BREAK}"

    def lines(self, which: str) -> str:
        """How many lines of those that are picked have their day behind them.

        Where no weeks are set, bud break goes before grafting, line by line.
        """
        by_graft = f'COUNTIFS({which},{self.dated},"<="&({self.limit}))'
        if not self.broke:
            return f"IF({self.known},{by_graft},0)"
        by_break = f'COUNTIFS({which},{self.broke},"<="&({self.broke_limit}))'
        rest = f'COUNTIFS({which},{self.broke},"=",{self.dated},"<="&({self.limit}))'
        return f"IF({self.own},{by_graft},{by_break}+{rest})"


def _write_trays(page: _Page, book: RecordBook, due: _Due) -> None:
    """The tally of the trays of a layout, and below it tray by tray what is next."""
    trays = _trays(book)
    tally = page.row
    names = (words.BEGUN, words.TO_GRAFT, words.DUE, words.WAITING, words.COUNTED)
    page.row += len(names) + (book.tray_size is not None)
    things = words.rows_are(per_graft=book.layout.row_per_graft, split=bool(book.halves_by))
    for count in book.layout.counts:
        alive = counted_cells(book, count, "taken")
        note = words.out_of(len(book.rows), things)
        page.cell(words.count_row(count, things[1]), f'COUNTIF({alive},">=0")', WHOLE, note=note)
    page.paragraph(due.told)
    page.paragraph(words.PLAN_HOW)
    _write_wanted(page, book)
    page.row += 1
    for at, heading in enumerate(words.LIST_HEADINGS, start=1):
        as_heading(page.sheet, page.row, at, heading)
    page.sheet.print_title_rows = f"{page.row}:{page.row}"
    first, last = page.row + 1, page.row + len(trays)
    for row, (code, place) in enumerate(trays, start=first):
        for at, text in enumerate((code, place), start=1):
            cell = page.sheet.cell(row, at)
            put(cell, text)
            cell.number_format = TEXT
        made, state = _next(book, due, f"$A{row}")
        put_formula(page.sheet.cell(row, 3), made)
        page.sheet.cell(row, 3).alignment = Alignment(horizontal="left")
        put_formula(page.sheet.cell(row, 4), state)
    end, page.row = last + 1, tally
    states = f"$D${first}:$D${last}"
    to_graft, ready, waiting, counted = words.STATES
    begun = f'{len(trays)}-COUNTIF({states},"{to_graft}")'
    page.cell(words.BEGUN, begun, WHOLE)
    left = page.cell(words.TO_GRAFT, f'COUNTIF({states},"{to_graft}")', WHOLE)
    if book.tray_size is not None:
        page.cell(words.LEFT, f"{left}*{book.tray_size}", WHOLE)
    page.cell(words.DUE, f'COUNTIF({states},"{ready}")', WHOLE, bold=True)
    page.cell(words.WAITING, f'COUNTIF({states},"{waiting}")', WHOLE)
    page.cell(words.COUNTED, f'COUNTIF({states},"{counted}")', WHOLE)
    page.row = end


def _trays(book: RecordBook) -> list[tuple[str, str]]:
    """The code and the place of each tray, in the order of the bench."""
    places: dict[str, str] = {}
    for row in book.rows:
        place = place_words(str(row.get("block", "")), row.get("position", ""))
        places.setdefault(str(row["tray"]), place)
    return list(places.items())


def _next(book: RecordBook, due: _Due, code: str) -> tuple[str, str]:
    """The grafts made in a tray, and what is next for it."""
    of_tray = f"{book.cells_of('tray')},{code}"
    if book.layout.row_per_graft:
        begun = f'{of_tray},{book.cells_of("graft_date")},"<>"'
        made, enough = f"COUNTIFS({begun})", "1"
    else:
        grafted = book.cells_of("grafted")
        begun = f'{of_tray},{grafted},">0"'
        made, enough = f"SUMIFS({grafted},{of_tray})", f"COUNTIFS({begun})"
    order = list(COUNT_NAMES)
    awaited = order.index(due.count)
    counts = [f'COUNTIFS({of_tray},{book.cells_of("taken")},">=0")'] * (
        awaited <= order.index("settled")
    )
    counts += [
        f"COUNTIFS({counted_cells(book, count, 'tray')},{code},"
        f'{counted_cells(book, count, "taken")},">=0")'
        for count in book.layout.counts
        if order.index(count) >= awaited
    ]
    told = f"MAX({','.join(counts)})" if counts else "0"
    to_graft, ready, waiting, counted = words.STATES
    state = (
        f'IF(COUNTIFS({begun})=0,"{to_graft}",IF({told}>={enough},"{counted}",'
        f'IF({due.lines(begun)}>=COUNTIFS({begun}),"{ready}","{waiting}")))'
    )
    return made, state


def _write_wanted(page: _Page, book: RecordBook) -> None:
    """For each combination with a target: grafts made and left, as its plants are spelled."""
    wanted = [
        (key.removeprefix("targets."), value)
        for key, value in book.settings
        if key.startswith("targets.") and value.replace(",", "").isdecimal()
    ]
    if not wanted:
        return
    page.row += 1
    for at, heading in enumerate(words.WANTED_HEADINGS, start=1):
        as_heading(page.sheet, page.row, at, heading)
    page.row += 1
    for target, number in wanted:
        pair = split_pair(target) or (target,)
        for at, name in enumerate(pair, start=1):
            put(page.sheet.cell(page.row, at), name)
        page.sheet.cell(page.row, 3).value = int(number.replace(",", ""))
        sides = zip(("scion", "understock"), "AB", pair, strict=False)
        same = ",".join(f'{book.cells_of(side)},"="&${at}{page.row}' for side, at, _ in sides)
        made = (
            f'COUNTIFS({same},{book.cells_of("graft_date")},"<>")'
            if book.layout.row_per_graft
            else f"SUMIFS({book.cells_of('grafted')},{same})"
        )
        put_formula(page.sheet.cell(page.row, 4), made)
        put_formula(page.sheet.cell(page.row, 5), f"MAX($C{page.row}-$D{page.row},0)")
        page.row += 1
    page.paragraph(words.LEFT_HOW)
    page.paragraph(words.SPELLING)
