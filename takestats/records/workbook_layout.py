"""Which sheets, columns and headings does a record workbook have?

The writer and the reader of workbooks both take them from here, so that what is
written can be read back. A workbook carries the mark of its layout on its how-to
sheet: the version of the layout and a fingerprint of its columns.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from takestats.records.columns import BY_NAME, COLUMNS, Column
from takestats.records.methods import METHODS, read_method

LAYOUT_VERSION = 2
"""Raised when a sheet or the meaning of a column changes."""

WEEK_SHEET = "this week"
RECORDS_SHEET = "records"
TRIAL_SHEET = "trial"
HOW_TO_SHEET = "how to"
LISTS_SHEET = "lists"
SHEETS = (WEEK_SHEET, RECORDS_SHEET, TRIAL_SHEET, HOW_TO_SHEET, LISTS_SHEET)
"""The sheets of a new workbook, in order; sheets of other counts stand after the records.
A grower may add more sheets of records."""

COUNT_SHEETS = {
    "callus check": "callus check",
    "first": "first count",
    "later": "later count",
    "season end": "season end",
    "next spring": "next spring",
}
"""The sheet of each count beside the settled one, whose place is the record sheet."""

LATER_COUNTS = ("later", "season end", "next spring")
"""The counts after the settled one."""

TRIAL_HEADINGS = ("what", "value")
"""The two columns of the trial sheet."""

MARK = "layout"
"""The first cell of the row, on the how-to sheet, that carries the mark."""

ALWAYS = (
    "tray",
    "scion",
    "understock",
    "graft_date",
    "grafted",
    "count_date",
    "taken",
    "understock_dead",
    "missing",
    "note",
)
"""Columns that every new record workbook has."""

_MAKER = "takestats record workbook"

CaliperUnit = Literal["mm", "in"]


@dataclass(frozen=True, kw_only=True)
class WorkbookLayout:
    """The columns of the record sheet, in the order of the sheet.

    Parameters
    ----------
    columns : tuple of str
        Names from the table of column declarations.
    caliper_unit : str
        "mm" or "in": the unit named in the headings of calipers.
    counts : tuple of str
        The counts that have a sheet of their own, in the order of time.
    """

    columns: tuple[str, ...]
    caliper_unit: CaliperUnit = "mm"
    counts: tuple[str, ...] = ()

    @property
    def sheets(self) -> tuple[str, ...]:
        """The sheets of the workbook, in order."""
        at = SHEETS.index(RECORDS_SHEET) + 1
        return (*SHEETS[:at], *(COUNT_SHEETS[name] for name in self.counts), *SHEETS[at:])

    @property
    def row_per_graft(self) -> bool:
        """Whether a row is a graft, not a tray or a part of one."""
        return "graft" in self.columns and "grafted" not in self.columns

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of the record sheet."""
        return tuple(heading(name, self.caliper_unit) for name in self.columns)

    @property
    def fingerprint(self) -> str:
        """Twelve signs that differ when the version, a column or a heading differs."""
        told = "\n".join((str(LAYOUT_VERSION), *self.sheets, *self.columns, *self.headings))
        return hashlib.sha256(told.encode("utf-8")).hexdigest()[:12]

    @property
    def mark(self) -> str:
        """What stands beside the word "layout" on the how-to sheet."""
        return f"{_MAKER} {LAYOUT_VERSION} {self.fingerprint}"


def layout_of(
    called_for: Sequence[str],
    *,
    caliper_unit: CaliperUnit = "mm",
    counts: Sequence[str] = (),
    row_per_graft: bool = False,
) -> WorkbookLayout:
    """Set the columns that are always there and those called for in the order of the sheet.

    With a row for each graft, the number of the graft stands in place of the grafts made.

    Examples
    --------
    >>> layout_of(["method"]).headings[:5]
    ('tray', 'scion', 'understock', 'method', 'graft date')
    """
    wanted = {*ALWAYS, *called_for}
    if row_per_graft:
        wanted = (wanted | {"graft"}) - {"grafted"}
    names = tuple(column.name for column in COLUMNS if column.name in wanted)
    ordered = tuple(name for name in COUNT_SHEETS if name in counts)
    return WorkbookLayout(columns=names, caliper_unit=caliper_unit, counts=ordered)


def heading(name: str, caliper_unit: CaliperUnit = "mm") -> str:
    """Write a column's name as a heading, its unit in brackets.

    Examples
    --------
    >>> heading("understock_caliper_mm", "in"), heading("union_height_mm"), heading("graft_date")
    ('understock caliper (in)', 'union height (mm)', 'graft date')
    """
    words = name.replace("_", " ")
    if not words.endswith(" mm"):
        return words
    unit = caliper_unit if BY_NAME[name].kind == "length" else "mm"
    return f"{words.removesuffix(' mm')} ({unit})"


def closed_words(name: str) -> tuple[str, ...]:
    """The only words that a cell of this column may hold; none when it is free.

    Examples
    --------
    >>> closed_words("scion_wood")
    ('terminal', 'sub_terminal', 'basal')
    """
    return tuple(BY_NAME[name].words)


def offered_words(name: str, own: Sequence[str] = ()) -> tuple[str, ...]:
    """The words that a drop-down list offers: the nursery's own first.

    Examples
    --------
    >>> offered_words("method", ["side veneer"])[:3]
    ('side veneer', 'whip-and-tongue', 'splice')
    """
    known = _grafts() if BY_NAME[name].kind == "method" else closed_words(name)
    return tuple(dict.fromkeys((*own, *known)))


def _grafts() -> tuple[str, ...]:
    """Each graft by a word that is read as this graft; some first words are asked about."""
    return tuple(
        next(form for form in (word, *others) if read_method(form, {}).text == word)
        for word, others in METHODS.items()
    )


def typed_as_text(column: Column) -> bool:
    """Whether cells are text, so that a spreadsheet turns no fraction or name into a date."""
    return column.kind not in ("whole", "date")


def workbook_mark(sheets: Mapping[str, Sequence[Sequence[Any]]]) -> str | None:
    """The mark of a record workbook among its sheets; None for any other workbook.

    It stands on the how-to sheet, and again on the sheet of the week, which must never be
    read as records even where the how-to sheet was taken out.
    """
    for wanted in (HOW_TO_SHEET, WEEK_SHEET):
        for name, rows in sheets.items():
            for row in rows if _plain(name) == wanted else ():
                if len(row) > 1 and _plain(row[0]) == MARK and row[1]:
                    return str(row[1]).strip()
    return None


def of_another_version(mark: str) -> bool:
    """Whether a workbook was laid out by another version than this one.

    Examples
    --------
    >>> of_another_version(layout_of([]).mark), of_another_version("takestats record workbook 0 ab")
    (False, True)
    """
    return not mark.startswith(f"{_MAKER} {LAYOUT_VERSION} ")


def sheets_without_records(sheets: Mapping[str, Sequence[Sequence[Any]]]) -> frozenset[str]:
    """Names of the sheets of a record workbook that are not records."""
    if workbook_mark(sheets) is None:
        return frozenset()
    beside = (WEEK_SHEET, HOW_TO_SHEET, LISTS_SHEET)
    return frozenset(name for name in sheets if _plain(name) in beside)


def _plain(cell: object) -> str:
    return "" if cell is None else " ".join(str(cell).lower().split())
