"""Which season does a cell, a date or a word mean?"""

from __future__ import annotations

import re

_ONE = re.compile(r"(\d{4})\Z")
_TWO = re.compile(r"(\d{4})\s*[-/–]\s*(\d{4}|\d{2})\Z")
FIRST_MONTH_OF_NEW_SEASON = 7
"""Grafts made from July on belong to next year's settled count (common practice, no source)."""


def read_season(text: str) -> str | None:
    """``2026`` or ``2025-26``, or None when the text is not a season.

    Examples
    --------
    >>> read_season("2025/26")
    '2025-26'
    """
    clean = text.strip()
    if found := _ONE.match(clean):
        return found[1]
    if found := _TWO.match(clean):
        year = int(found[1]) + 1
        if int(found[2]) == (year if len(found[2]) == 4 else year % 100):
            return season_name(year)
    return None


def season_name(year: int) -> str:
    """The season whose settled count falls in this year, as ``2025-26``."""
    return f"{year - 1}-{year % 100:02d}"


def season_year(season: str) -> int:
    """The year of the season's settled count: 2026 for ``2026`` and for ``2025-26``."""
    return int(season[:4]) + (1 if len(season) > 4 else 0)


def season_of_graft(date: str) -> str:
    """The season of a graft made on this day or in this month (ISO text)."""
    year, month = int(date[:4]), int(date[5:7])
    return season_name(year + (1 if month >= FIRST_MONTH_OF_NEW_SEASON else 0))
