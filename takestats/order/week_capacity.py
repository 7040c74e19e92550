"""Which weeks does the grafting window hold, and how many grafts can be made in each?"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from takestats.errors import SettingsError
from takestats.order.limit_checks import number_of
from takestats.records.dates import EARLIEST, LATEST, read_date
from takestats.wording import order_weeks as words
from takestats.wording.numbers import MONTHS

MOST_A_DAY = 10_000
_MOST_WEEKS = 53
_MONTH_OF = {name.lower(): i for i, name in enumerate(MONTHS, 1)}
_MONTH_OF |= {name[:3].lower(): i for i, name in enumerate(MONTHS, 1)} | {"sept": 9}
_PARTS = {"early": (1, 10), "mid": (11, 20), "middle of": (11, 20), "late": (21, 31)}
_BETWEEN = re.compile(r"\s+(?:to|until|till|and)\s+|\s*[–—]\s*|\s+-\s+", re.IGNORECASE)
_LEAD = re.compile(r"(?:from|between)\s+", re.IGNORECASE)
_WORDED = re.compile(r"(?:(early|mid|middle of|late)[\s-]+)?([a-z]+)\.?\Z")
_DAY = re.compile(r"(?:(\d{1,2})(?:st|nd|rd|th)?\s+([a-z]+)\.?|([a-z]+)\.?\s+(\d{1,2}))\Z")


@dataclass(frozen=True, kw_only=True)
class GraftingWeeks:
    """The weeks of a window.

    Parameters
    ----------
    weeks : tuple of str
        Labels, each by the first day of the week that lies in the window.
    first_days : tuple of datetime.date
        That day.
    days : tuple of float
        Grafting days in each week.
    grafts_a_week : tuple of int
    first_day, last_day : datetime.date
        The window, both days in it.
    notes : tuple of str
    """

    weeks: tuple[str, ...]
    first_days: tuple[dt.date, ...]
    days: tuple[float, ...]
    grafts_a_week: tuple[int, ...]
    first_day: dt.date
    last_day: dt.date
    notes: tuple[str, ...]

    def place_of(self, day: dt.date) -> int:
        """The place of the week that holds a day: of the first or last week when outside.

        Examples
        --------
        >>> weeks_of("January", 100, 5, 2026).place_of(dt.date(2026, 1, 14))
        2
        """
        held = [i for i, first in enumerate(self.first_days) if first <= day]
        return held[-1] if held else 0


def weeks_of(window: object, grafts_a_day: object, days_a_week: object, year: int) -> GraftingWeeks:
    """How many grafts can be made in each week from early January to mid-March?

    Parameters
    ----------
    window : str or sequence of two
        ``"early January to mid March"``, ``"5 January to 13 March"``,
        ``"2026-01-05 to 2026-03-13"``, or two days in a list. Early is the 1st to the 10th, mid
        the 11th to the 20th, late the 21st to the end of the month.
    grafts_a_day : float
        Grafts of the whole bench in one grafting day.
    days_a_week : float
        Grafting days in a full week, 7 at most.
    year : int
        Of days that are named without one.

    Returns
    -------
    GraftingWeeks
        Weeks run from Monday to Sunday.

    Raises
    ------
    SettingsError
        For a window that cannot be read, ends before it starts or is longer than a year; for 0
        grafts a day; for 0 or more than 7 days a week; for what is not given.

    Notes
    -----
    Which weekdays are grafting days is not recorded: they are taken to run from Monday, so a week
    that the window cuts has those of its first days that lie in the window. Holidays are not
    taken out. 100 to 150 grafts a day, about 500 a week, make about 5,000 between early January
    and mid-March (common practice, no source).

    Examples
    --------
    >>> found = weeks_of("early January to mid March", 125, 4, 2026)
    >>> found.weeks[1], found.grafts_a_week[:3]
    ('week of 5 January 2026', (125, 500, 500))
    """
    a_day = _number("grafts_a_day", grafts_a_day, 0.0, MOST_A_DAY)
    a_week = _number("days_a_week", days_a_week, 0.0, 7.0)
    first, last = _window(window, _year(year))
    monday = first - dt.timedelta(days=first.weekday())
    mondays = [monday + dt.timedelta(weeks=i) for i in range((last - monday).days // 7 + 1)]
    days = [_grafting_days(start, first, last, a_week) for start in mondays]
    starts = [max(start, first) for start in mondays]
    return GraftingWeeks(
        weeks=tuple(words.week_label(start.isoformat()) for start in starts),
        first_days=tuple(starts),
        days=tuple(days),
        grafts_a_week=tuple(math.floor(a_day * number + 1e-9) for number in days),
        first_day=first,
        last_day=last,
        notes=words.week_notes(first.isoformat(), last.isoformat(), a_day, a_week),
    )


def _grafting_days(monday: dt.date, first: dt.date, last: dt.date, a_week: float) -> float:
    """Grafting days from Monday on, those outside the window left out; the last may be a part."""
    found = 0.0
    for weekday in range(math.ceil(a_week)):
        if first <= monday + dt.timedelta(days=weekday) <= last:
            found += min(1.0, a_week - weekday)
    return found


def _number(key: str, value: object, least: float, most: float) -> float:
    number = number_of(value)
    if value is None:
        raise SettingsError(**words.not_given(key))
    if not math.isfinite(number) or not least < number <= most:
        raise SettingsError(**words.number_refused(key, value, number, most))
    return number


def _year(year: object) -> int:
    number = number_of(year)
    if not EARLIEST <= number <= LATEST or number != math.floor(number):
        raise SettingsError(**words.no_such_year(year, EARLIEST, LATEST))
    return int(number)


def _window(window: object, year: int) -> tuple[dt.date, dt.date]:
    """The first and the last day."""
    if window is None or (isinstance(window, str) and not window.strip()):
        raise SettingsError(**words.not_given("window"))
    sides = _sides(window)
    if sides is None:
        raise SettingsError(**words.window_unread(window, None))
    spans = []
    for side in sides:
        span = _span(side, year)
        if span is None:
            raise SettingsError(**words.window_unread(window, side))
        spans.append(span)
    first, last = spans[0][0], spans[-1][1]
    if last < first:
        raise SettingsError(**words.window_ends_first(window, first.isoformat(), last.isoformat()))
    if (last - first).days >= 7 * _MOST_WEEKS:
        raise SettingsError(**words.window_too_long(window, first.isoformat(), last.isoformat()))
    return first, last


def _sides(window: object) -> list[object] | None:
    if isinstance(window, str):
        parts = _BETWEEN.split(_LEAD.sub("", window.strip(), count=1))
        return list(parts) if len(parts) <= 2 else None
    if isinstance(window, Sequence) and len(window) == 2:
        return list(window)
    return None


def _span(side: object, year: int) -> tuple[dt.date, dt.date] | None:
    """The first and the last day that one side of a window can mean, or None."""
    if isinstance(side, str):
        text = " ".join(side.lower().split())
        if found := _WORDED.match(text):
            month = _MONTH_OF.get(found[2])
            return None if month is None else _part(year, month, *_PARTS.get(found[1], (1, 31)))
        if found := _DAY.match(text):
            month = _MONTH_OF.get(found[2] or found[3])
            day = int(found[1] or found[4])
            return None if month is None else _one_day(year, month, day)
    elif not isinstance(side, dt.date):
        return None
    read = read_date(side, None).text
    if read is None:
        return None
    parts = [int(part) for part in read.split("-")]
    return _one_day(*parts) if len(parts) == 3 else _part(parts[0], parts[1], 1, 31)


def _part(year: int, month: int, first: int, last: int) -> tuple[dt.date, dt.date]:
    start = dt.date(year, month, first)
    following = dt.date(year + month // 12, month % 12 + 1, 1)
    return start, min(following - dt.timedelta(days=1), start + dt.timedelta(days=last - first))


def _one_day(year: int, month: int, day: int) -> tuple[dt.date, dt.date] | None:
    try:
        found = dt.date(year, month, day)
    except ValueError:
        return None
    return found, found
