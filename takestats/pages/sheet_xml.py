"""How is one table written as a sheet, fast, and with no cell that could become a formula?

Written as ECMA-376 (Office Open XML) asks, part 1, section 18.3, by hand: a library that
builds an object for every cell takes many times as long for a season of many trays.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from html import escape
from typing import TYPE_CHECKING

import numpy as np

from takestats.wording.tables_workbook import (
    CUT_MARK,
    UNSHOWN,
    UNSHOWN_NOTE,
    cut_note,
    rows_left_out_note,
)

if TYPE_CHECKING:
    from pandas import DataFrame, Series

MOST_CHARACTERS = 32_767  # of one cell, in units of UTF-16
MOST_ROWS = 1_048_576
PLAIN, BOLD, DAY, TEXT, HOUR, LINK = range(6)
"""Styles of the workbook, by their place in its style sheet."""

_NOT_XML = re.compile("[^\t\n\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_WHOLE_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_FIRST_DAY = date(1899, 12, 30)
_EXACT_WHOLE = 10**15
_WIDEST = 44
_SAMPLE = 200


@dataclass(frozen=True, eq=False)
class Texts:
    """The texts of a workbook, each kept once, in the order in which they came."""

    places: dict[str, int] = field(default_factory=dict)

    def place(self, text: str) -> int:
        """Where a text stands; it is added when it is new."""
        return self.places.setdefault(text, len(self.places))


@dataclass(frozen=True, kw_only=True)
class Link:
    """A cell that leads to another sheet.

    Parameters
    ----------
    row : int
        Of the table, the first is 0; the cell is that of the first column.
    sheet : str
    """

    row: int
    sheet: str


def sheet_xml(
    table: DataFrame,
    name: str,
    lines: Sequence[str],
    texts: Texts,
    *,
    links: Sequence[Link] = (),
    most_rows: int = MOST_ROWS,
) -> str:
    """Write a table as the XML of one sheet.

    Parameters
    ----------
    table : pandas.DataFrame
        Numbers become numbers, days days, everything else text; missing values are blank,
        an open limit says so.
    name : str
        Of its CSV file, named where something did not fit.
    lines : sequence of str
        What stands above the header.
    texts : Texts
        Those of the workbook so far; new ones are added.
    links : sequence of Link
    most_rows : int
        That a sheet can hold.

    Returns
    -------
    str
        XML without a declaration; the header row stays in sight.
    """
    above = [line for line in lines if line]
    room = most_rows - len(above) - 4  # three notes may come on top, and the header
    shown = table if len(table) <= room else table.iloc[:room]
    told: dict[str, None] = {}
    if len(shown) < len(table):
        told[rows_left_out_note(len(shown), len(table), name)] = None
    writer = _Cells(texts, name, told)
    columns = [writer.column(shown.iloc[:, index]) for index in range(shown.shape[1])]
    for link in links:
        columns[0][link.row] = writer.text(str(shown.iloc[link.row, 0]), LINK)
    header = [writer.text(str(column), BOLD) for column in table.columns]
    top = [writer.text(line, BOLD if index == 0 else PLAIN) for index, line in enumerate(above)]
    top += [writer.text(line, PLAIN) for line in list(told)]
    head = len(top) + 1
    letters = [column_letters(index) for index in range(len(columns))]
    rows = [f'<row r="{n}"><c r="A{n}{cell}</row>' for n, cell in enumerate(top, start=1)]
    rows.append(_row(head, letters, header))
    rows += [
        _row(number, letters, cells)
        for number, cells in enumerate(zip(*columns, strict=True), start=head + 1)
    ]
    leads = "".join(
        f'<hyperlink ref="A{head + 1 + link.row}" '
        f'location="{escape(_quoted(link.sheet))}!A1" display="{escape(link.sheet)}"/>'
        for link in links
    )
    return (
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        f'<sheetViews><sheetView workbookViewId="0"><pane ySplit="{head}" '
        f'topLeftCell="A{head + 1}" activePane="bottomLeft" state="frozen"/></sheetView>'
        f"</sheetViews>{_widths(shown)}<sheetData>{''.join(rows)}</sheetData>"
        f"{f'<hyperlinks>{leads}</hyperlinks>' if leads else ''}</worksheet>"
    )


def clean_text(text: str) -> str:
    r"""Put a visible sign where a character stands that no sheet can hold.

    Examples
    --------
    >>> clean_text("T01\x07") == "T01\ufffd", clean_text("two\r\nlines") == "two\nlines"
    (True, True)
    """
    return _NOT_XML.sub(UNSHOWN, text.replace("\r\n", "\n").replace("\r", "\n"))


class _Cells:
    """Turns values into the end of a cell's XML, after its address."""

    def __init__(self, texts: Texts, name: str, told: dict[str, None]) -> None:
        self.texts, self.name, self.told = texts, name, told
        self.known: dict[str, str] = {}

    def column(self, values: Series) -> list[str]:
        """Every cell of a column; a blank one is an empty text."""
        kind = values.dtype.kind if isinstance(values.dtype, np.dtype) else "O"
        if kind == "f":
            return [self._float(value) for value in values.tolist()]
        if kind in "iu":
            return [self._whole(value) for value in values.tolist()]
        days = str(values.name).endswith("_date")
        return [self._any(value, days) for value in values.tolist()]

    def text(self, text: str, style: int | None = None) -> str:
        """A text cell; one that looks like a formula is marked as text for good."""
        found = self.known.get(text) if style is None else None
        if found is None:
            kept = self._fitting(text)
            looks = kept.lstrip(" ")[:1] in ("=", "+", "-", "@", "\t", "\n", "'")
            used = style if style is not None else TEXT if looks else PLAIN
            found = f'"{f" s={chr(34)}{used}{chr(34)}" if used else ""} t="s"><v>'
            found += f"{self.texts.place(kept)}</v></c>"
            if style is None:
                self.known[text] = found
        return found

    def _fitting(self, text: str) -> str:
        kept = clean_text(text)
        if UNSHOWN in kept and UNSHOWN not in text:
            self.told[UNSHOWN_NOTE] = None
        if len(kept) * 2 > MOST_CHARACTERS:
            units = kept.encode("utf-16-le")
            if len(units) > 2 * MOST_CHARACTERS:
                room = 2 * (MOST_CHARACTERS - len(CUT_MARK))
                kept = units[:room].decode("utf-16-le", errors="ignore") + CUT_MARK
                self.told[cut_note(self.name)] = None
        return kept

    def _float(self, value: float) -> str:
        if math.isfinite(value):
            return f'"><v>{value!r}</v></c>'
        if math.isnan(value):
            return ""
        return self.text("no upper bound" if value > 0 else "no lower bound")

    def _whole(self, value: int) -> str:
        return f'"><v>{value}</v></c>' if abs(value) < _EXACT_WHOLE else self.text(str(value))

    def _any(self, value: object, days: bool) -> str:
        if isinstance(value, str):
            if days and _WHOLE_DAY.fullmatch(value):
                return self._day(value)
            return self.text(value) if value else ""
        if value is None or str(value) in {"<NA>", "NaT"}:
            return ""
        value = value.item() if hasattr(value, "item") else value
        if isinstance(value, bool):
            return self.text("yes" if value else "no")
        if isinstance(value, float):
            return self._float(value)
        if isinstance(value, int):
            return self._whole(value)
        if isinstance(value, datetime):
            seconds = value.hour * 3600 + value.minute * 60 + value.second
            if not seconds:
                return self._day(value.date().isoformat())
            days_on = (value.date() - _FIRST_DAY).days + seconds / 86_400
            return f'" s="{HOUR}"><v>{days_on!r}</v></c>'
        if isinstance(value, date):
            return self._day(value.isoformat())
        return self.text(str(value))

    def _day(self, iso: str) -> str:
        found = self.known.get(f"day {iso}")
        if found is None:
            found = self.text(iso)
            try:
                number = (date.fromisoformat(iso) - _FIRST_DAY).days
            except ValueError:  # no such day: the text as it stands
                number = 0
            if number > 60:  # sheets count a day in February 1900 that never was
                found = f'" s="{DAY}"><v>{number}</v></c>'
            self.known[f"day {iso}"] = found
        return found


def _row(number: int, letters: Sequence[str], cells: Sequence[str]) -> str:
    inside = [
        f'<c r="{letter}{number}{cell}' for letter, cell in zip(letters, cells, strict=True) if cell
    ]
    return f'<row r="{number}">{"".join(inside)}</row>'


def _widths(table: DataFrame) -> str:
    """Wide enough for what stands in the first rows."""
    made = []
    for index, column in enumerate(table.columns, start=1):
        sample = table.iloc[:_SAMPLE, index - 1]
        longest = max((len(str(value)) for value in sample), default=0)
        width = max(len(str(column)), min(longest, 12) if sample.dtype.kind == "f" else longest)
        made.append(
            f'<col min="{index}" max="{index}" width="{min(width, _WIDEST) + 2}" customWidth="1"/>'
        )
    return f"<cols>{''.join(made)}</cols>" if made else ""


def column_letters(index: int) -> str:
    """Letters of a column, the first is 0.

    Examples
    --------
    >>> column_letters(0), column_letters(25), column_letters(26), column_letters(701)
    ('A', 'Z', 'AA', 'ZZ')
    """
    letters = ""
    index += 1
    while index:
        index, place = divmod(index - 1, 26)
        letters = chr(ord("A") + place) + letters
    return letters


def _quoted(sheet: str) -> str:
    doubled = sheet.replace("'", "''")
    return f"'{doubled}'"


def texts_xml(texts: Texts) -> str:
    """Write the texts of a workbook, in their order."""
    told = "".join(
        f'<si><t xml:space="preserve">{escape(_LOOKS_ESCAPED.sub("_x005F_", text))}</t></si>'
        for text in texts.places
    )
    return (
        '<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
        f'uniqueCount="{len(texts.places)}">{told}</sst>'
    )
