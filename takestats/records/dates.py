"""Which day, or which month, does a cell mean?"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

_MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_MONTH_OF = {name: i + 1 for i, name in enumerate(_MONTHS)}
_MONTH_OF |= {name[:3]: i + 1 for i, name in enumerate(_MONTHS)} | {"sept": 9}
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[ T]00:00(?::00(?:\.0+)?)?)?\Z")
_YEAR_FIRST = re.compile(r"(\d{4})[/.](\d{1,2})[/.](\d{1,2})\Z")
_MONTH_IN_FIGURES = re.compile(r"(\d{1,2})\s*[/.-]\s*(\d{4})\Z")
_WEEKDAY = re.compile(
    r"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?[.,]?\s+(?=\S)", re.IGNORECASE
)
_ISO_MONTH = re.compile(r"(\d{4})-(\d{1,2})\Z")
_FIGURES = re.compile(r"(\d{1,2})\s*[/.-]\s*(\d{1,2})\s*[/.-]\s*(\d{4}|\d{2})\Z")
_DAY_NAMED = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[\s.-]*([A-Za-z]+)\.?[\s,.-]*(\d{4}|\d{2})\Z")
_NAMED_DAY = re.compile(r"([A-Za-z]+)\.?[\s-]*(\d{1,2})(?:st|nd|rd|th)?[\s,.-]+(\d{4})\Z")
_NAMED_MONTH = re.compile(r"([A-Za-z]+)\.?[\s,.-]+(\d{4})\Z")
_NO_YEAR = re.compile(
    r"(?:\d{1,2}[/.]\d{1,2}|(?:\d{1,2}(?:st|nd|rd|th)?)?[\s.-]*(?P<month>[A-Za-z]{3,9})[\s.-]*\d{0,2})"
    r"\.?\Z"
)
TURNED = re.compile(
    r"(?:\d{4}-\d{2}-\d{2}(?:[ T]\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?)?"
    r"|\d{1,2}-[A-Za-z]{3}(?:-\d{2,4})?|[A-Za-z]{3}-\d{2,4}|\d{1,2}/\d{1,2}/\d{4})\Z"
)


class MonthShown(str):
    """A date of which the sheet shows the month only, as ``2026-02``."""

    __slots__ = ()


_DAY_NUMBER = re.compile(r"[34]\d{4}(?:\.0+)?\Z")
"""A spreadsheet's own number of a day: 30000 is in 1982, 49999 in 2036."""

EARLIEST, LATEST = 1900, 2100
"""Years outside these are taken for slips of the pen."""


@dataclass(frozen=True)
class DateReading:
    """What a cell says: ISO text (``2026-02-03`` or ``2026-02``), or the fault."""

    text: str | None
    fault: str | None = None
    changed: bool = False


def read_date(cell: object, order: str | None) -> DateReading:
    """Read one cell; ``order`` is "day first", "month first" or None."""
    if isinstance(cell, dt.datetime | dt.date):
        timed = isinstance(cell, dt.datetime) and cell.time() != dt.time()
        return _checked(cell.year, cell.month, cell.day, changed=timed)
    text = str(cell).strip()
    if _DAY_NUMBER.match(text):
        return DateReading(None, "day_number")
    if found := _ISO.match(text):
        year, month, day = (int(part) for part in found.groups())
        return _checked(year, month, day, changed=False)
    text = _WEEKDAY.sub("", text, count=1) if _WEEKDAY.match(text) else text
    if found := _YEAR_FIRST.match(text):
        year, month, day = (int(part) for part in found.groups())
        return _checked(year, month, day, changed=True)
    if found := _MONTH_IN_FIGURES.match(text):
        return _checked(int(found[2]), int(found[1]), None, changed=True)
    if found := _ISO_MONTH.match(text):
        return _checked(int(found[1]), int(found[2]), None, changed=False)
    if found := _DAY_NAMED.match(text):
        return _named(found[3], found[2], found[1])
    if found := _NAMED_DAY.match(text):
        return _named(found[3], found[1], found[2])
    if found := _NAMED_MONTH.match(text):
        return _named(found[2], found[1], None)
    if found := _FIGURES.match(text):
        return _from_figures(int(found[1]), int(found[2]), found[3], order)
    if (found := _NO_YEAR.match(text)) and (
        found["month"] is None or found["month"].lower() in _MONTH_OF
    ):
        return DateReading(None, "date_without_year")
    return DateReading(None, "not_a_date")


def _from_figures(first: int, second: int, year_text: str, order: str | None) -> DateReading:
    """A date in figures: the order is the grower's to say, unless only one can be."""
    year = int(year_text) + (2000 if len(year_text) == 2 else 0)
    if order == "day first":
        return _checked(year, second, first, changed=True)
    if order == "month first":
        return _checked(year, first, second, changed=True)
    if len(year_text) == 4 and first > 12 >= second:
        return _checked(year, second, first, changed=True)
    if len(year_text) == 4 and second > 12 >= first:
        return _checked(year, first, second, changed=True)
    return DateReading(None, "date_order" if min(first, second) <= 12 else "no_such_day")


def _named(year_text: str, month_name: str, day: str | None) -> DateReading:
    month = _MONTH_OF.get(month_name.lower())
    if month is None:
        return DateReading(None, "not_a_date")
    year = int(year_text) + (2000 if len(year_text) == 2 else 0)
    return _checked(year, month, int(day) if day is not None else None, changed=True)


def _checked(year: int, month: int, day: int | None, *, changed: bool) -> DateReading:
    if not EARLIEST <= year <= LATEST:
        return DateReading(None, "date_year")
    try:
        dt.date(year, month, day or 1)
    except ValueError:
        return DateReading(None, "no_such_day")
    text = f"{year:04d}-{month:02d}" + (f"-{day:02d}" if day is not None else "")
    return DateReading(text, None, changed)


def looks_turned(cell: object) -> bool:
    """Whether a cell that should hold a name or a number holds a date instead."""
    if isinstance(cell, dt.datetime | dt.date | MonthShown):
        return True
    return isinstance(cell, str) and TURNED.match(cell) is not None
