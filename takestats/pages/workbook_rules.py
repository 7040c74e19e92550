"""What may a cell of the record sheet hold, and what is said when it holds something else?

The spreadsheet checks while somebody types; the records are checked again when they
are read, because a spreadsheet lets pasted cells through.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from takestats.records.columns import BY_NAME, Column
from takestats.records.dates import EARLIEST, LATEST
from takestats.records.workbook_layout import WorkbookLayout, closed_words, heading
from takestats.wording.workbook import (
    cell_prompt,
    not_a_date,
    not_in_list,
    not_whole,
    not_within,
    parts_not_within,
)

_MOST_TITLE, _MOST_TEXT = 31, 225
"""Longer titles and messages are refused by spreadsheets."""

_PARTS = ("taken", "understock_dead", "missing")
_WITHIN = {"alive_later": "taken", "saleable": "taken", "defects_later": "taken"}
_AFTER = {
    "count_date": "graft_date",
    "later_count_date": "count_date",
    "saleable_date": "graft_date",
}


@dataclass(frozen=True, kw_only=True)
class SheetRules:
    """Where the record sheet stands and what its lists are.

    Parameters
    ----------
    layout : WorkbookLayout
    first_row, last_row : int
        The rows that are checked.
    lists : mapping of str to str
        For a column with a drop-down list, the range that holds its words.
    tray_size : int, optional
        Cells in a tray; no tray then holds more grafts.
    locked : tuple of str
        Columns that cannot be typed over.
    grafted : str
        A formula for the grafts made of the first row, where they stand on another sheet.
    """

    layout: WorkbookLayout
    first_row: int
    last_row: int
    lists: Mapping[str, str]
    tray_size: int | None = None
    locked: tuple[str, ...] = ()
    grafted: str = ""

    def cell(self, name: str) -> str:
        """The cell of a column in the first row, its row free to move."""
        return f"${self._letter(name)}{self.first_row}"

    def has(self, name: str) -> bool:
        """Whether the sheet has this column."""
        return name in self.layout.columns

    def heading(self, name: str) -> str:
        """The heading of a column on this sheet."""
        return heading(name, self.layout.caliper_unit)

    def validation(self, name: str) -> DataValidation:
        """The rule of one column, set on its cells."""
        column = BY_NAME[name]
        if name in self.lists:
            rule = self._list(column)
        elif column.kind == "whole":
            rule = self._whole(column)
        elif column.kind == "date":
            rule = self._date(column)
        else:
            rule = DataValidation(allow_blank=True)  # says what belongs there, refuses nothing
        rule.promptTitle = self.heading(name)[:_MOST_TITLE]
        rule.prompt = cell_prompt(column.meaning, column.kind)[:_MOST_TEXT]
        rule.showInputMessage = True
        letter = self._letter(name)
        rule.add(f"{letter}{self.first_row}:{letter}{self.last_row}")
        return rule

    def _letter(self, name: str) -> str:
        return str(get_column_letter(self.layout.columns.index(name) + 1))

    def _list(self, column: Column) -> DataValidation:
        closed = bool(closed_words(column.name))
        told = not_in_list(self.heading(column.name), closed=closed)
        return _rule(told, closed, type="list", formula1=self.lists[column.name])

    def _whole(self, column: Column) -> DataValidation:
        name, here = column.name, self.cell(column.name)
        whole = f"{here}>=0,{here}=INT({here})"
        if name in _PARTS and (self.grafted or self.has("grafted")):
            parts = tuple(part for part in _PARTS if self.has(part))
            total = "+".join(f"N({self.cell(part)})" for part in parts)
            told = parts_not_within(tuple(map(self.heading, parts)), heading("grafted"))
            grafted = self.grafted or f"N({self.cell('grafted')})"
            formula = f"IF(ISNUMBER({here}),AND({whole},{total}<={grafted}),FALSE)"
            return _rule(told, True, type="custom", formula1=formula)
        if name in _WITHIN and self.has(_WITHIN[name]):
            other = _WITHIN[name]
            told = not_within(self.heading(name), self.heading(other))
            formula = f"IF(ISNUMBER({here}),AND({whole},{here}<=N({self.cell(other)})),FALSE)"
            # A later count above an earlier one is asked about, not refused, in check too.
            return _rule(told, name != "alive_later", type="custom", formula1=formula)
        low, high = column.low or 0.0, column.high or 0.0
        if name in _PARTS:
            high = 1.0  # one row per graft
        elif name == "grafted" and self.tray_size is not None:
            high = float(self.tray_size)
        told = not_whole(self.heading(name), low, high)
        limits = {"formula1": str(int(low)), "formula2": str(int(high))}
        return _rule(told, True, type="whole", operator="between", **limits)

    def _date(self, column: Column) -> DataValidation:
        first, last = _serial(dt.date(max(EARLIEST, 1901), 1, 1)), _serial(dt.date(LATEST, 12, 31))
        low, high, after = str(first), str(last), ""
        earlier = _AFTER.get(column.name, "")
        if earlier and self.has(earlier):
            low, after = f"MAX({first},N({self.cell(earlier)}))", self.heading(earlier)
        if column.name == "scion_cut_date" and self.has("graft_date"):
            grafted = self.cell("graft_date")
            high = f"IF(ISNUMBER({grafted}),{grafted},{last})"
        told = not_a_date(self.heading(column.name), after)
        # Not refused outright: a month alone is typed as text.
        return _rule(told, False, type="date", operator="between", formula1=low, formula2=high)


def _rule(told: str, refuse: bool, **kind: str) -> DataValidation:
    """Set a rule and what is said when it is broken.

    A rule that looks at other cells may not "ignore blanks": some spreadsheets then let
    every value pass as long as one of those cells is blank (from memory of their help
    pages). A cell can be emptied all the same.
    """
    looks_elsewhere = "$" in kind["formula1"] + kind.get("formula2", "") and kind["type"] != "list"
    style = "stop" if refuse else "warning"
    rule = DataValidation(allow_blank=not looks_elsewhere, errorStyle=style, **kind)
    rule.errorTitle = "Please check"
    rule.error = told[:_MOST_TEXT]
    rule.showErrorMessage = True
    return rule


def _serial(day: dt.date) -> int:
    """The number by which spreadsheets know a day (as they count from March 1900 on)."""
    return (day - dt.date(1899, 12, 30)).days
