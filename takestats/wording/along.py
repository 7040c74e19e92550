"""How is a place along a caliper, a ratio or the season said?"""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from takestats.wording.curves import value_words
from takestats.wording.numbers import MONTHS
from takestats.wording.said import factor_words

_RATIO = "caliper_ratio"
DAY = "day_of_season"
_BREAK = "days_to_bud_break"
_STORED = "storage_days"


class Place(NamedTuple):
    """A take at one place of a curve (proportions)."""

    at: float
    take: float
    low: float
    high: float


class Window(NamedTuple):
    """Where a curve lies close to its best; limits are nan where no value is so likely."""

    best_at: float
    low: float
    high: float
    sure_low: float
    sure_high: float
    possible_low: float
    possible_high: float


class Scale(NamedTuple):
    """What a curve runs along, and the ISO date of its day 0 where it is the date."""

    over: str
    first: str = ""

    def number(self, value: float) -> str:
        """Say a value without its unit; a day of the season as a date."""
        if self.over == DAY and self.first:
            day = dt.date.fromisoformat(self.first) + dt.timedelta(days=round(value))
            return f"{day.day} {MONTHS[day.month - 1]}"
        if self.over in (DAY, _BREAK, _STORED):
            return f"{value:.0f}"
        return f"{value:.2f}" if self.over == _RATIO else value_words(value)

    def place(self, value: float) -> str:
        """Say a value with its unit.

        Examples
        --------
        >>> Scale("understock_caliper_mm").place(8.52), Scale("caliper_ratio").place(0.923)
        ('8.5 mm', 'a ratio of 0.92')
        >>> Scale("day_of_season", "2026-01-06").place(20.3)
        '26 January'
        >>> Scale("days_to_bud_break").place(51.0), Scale("warmth").place(21.4)
        ('51 days to bud break', 'warmth 21')
        """
        said = self.number(value)
        if self.over == DAY:
            return said if self.first else f"day {said} of the season"
        if self.over == _BREAK:
            return f"{said} day{'' if said == '1' else 's'} to bud break"
        if self.over == _STORED:
            return f"{said} day{'' if said == '1' else 's'} of scion storage"
        if self.over == _RATIO:
            return f"a ratio of {said}"
        return f"{said} mm" if self.over.endswith("_mm") else f"{factor_words(self.over)} {said}"

    def reach(self, low: float, high: float, joint: str = "and") -> str:
        """Say two values with their unit.

        Examples
        --------
        >>> Scale("understock_caliper_mm").reach(7.5, 9.61)
        '7.5 and 9.6 mm'
        >>> Scale("caliper_ratio").reach(0.8, 1.0, "to")
        '0.80 to 1.00'
        """
        ends = f"{self.number(low)} {joint} {self.number(high)}"
        if self.over == DAY:
            return ends if self.first else f"day {ends} of the season"
        if self.over in (_BREAK, _STORED):
            return f"{ends} days"
        return f"{ends} mm" if self.over.endswith("_mm") else ends

    @property
    def name(self) -> str:
        """What the curve runs along, in words.

        Examples
        --------
        >>> Scale("day_of_season", "2026-01-06").name, Scale("caliper_ratio").name
        ('date of grafting', 'caliper ratio')
        """
        return "date of grafting" if self.over == DAY else factor_words(self.over)

    @property
    def axis(self) -> str:
        """What stands below the axis.

        Examples
        --------
        >>> Scale("understock_caliper_mm").axis, Scale("caliper_ratio").axis
        ('understock caliper, mm', 'caliper ratio, scion over understock')
        """
        if self.over == _RATIO:
            return "caliper ratio, scion over understock"
        if self.over == DAY and not self.first:
            return "day of the season"
        return f"{self.name}, mm" if self.over.endswith("_mm") else self.name


def axis_value(scale: Scale, value: float) -> str:
    """Say a place on the axis: short.

    Examples
    --------
    >>> axis_value(Scale("day_of_season", "2026-01-06"), 26.0), axis_value(Scale("warmth"), 7.5)
    ('1 Feb', '7.5')
    """
    if scale.over == DAY and scale.first:
        day, month = scale.number(value).split(" ")
        return f"{day} {month[:3]}"
    return f"{value:g}"
