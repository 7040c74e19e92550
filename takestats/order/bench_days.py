"""How many trays, and how many days at the bench?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from pandas import DataFrame

from takestats.errors import SettingsError
from takestats.order.ordered_rows import Ordered
from takestats.order.plain_chain import whole_up
from takestats.records.settings import TrialSettings

COLUMNS = (
    "grafts",
    "trays",
    "tray_size",
    "grafts_a_day",
    "days",
    "days_a_week",
    "grafts_a_week",
    "weeks",
    "window",
)
_MOST_DAYS = 7


def trays_of(grafts: int, tray_size: float) -> float:
    """Trays of one combination, the last one part full.

    Examples
    --------
    >>> trays_of(61, 30)
    3.0
    """
    return math.nan if math.isnan(tray_size) else float(-(-grafts // int(tray_size)))


def bench_days(ordered: Sequence[Ordered], tray_size: float, settings: TrialSettings) -> DataFrame:
    """Days and weeks at the bench for all combinations together.

    Parameters
    ----------
    ordered : sequence of Ordered
    tray_size : float
        nan: not recorded.
    settings : TrialSettings
        ``[work]`` grafts_a_day, days_a_week, window.

    Returns
    -------
    DataFrame
        One row: grafts, trays, tray_size, grafts_a_day, days, days_a_week, grafts_a_week, weeks
        (not rounded), window (as written). nan or blank: not recorded.

    Raises
    ------
    SettingsError
        When no graft is made in a day, or a week has more than seven days.

    Notes
    -----
    From common practice, no source: 100 to 150 grafts a day, about 500 in a week.
    """
    a_day = _given(settings, "grafts_a_day")
    in_week = _given(settings, "days_a_week")
    if a_day == 0 or in_week == 0 or in_week > _MOST_DAYS:
        named = "grafts_a_day" if a_day == 0 else "days_a_week"
        raise SettingsError(
            where=f"{settings.file or 'settings'}, [work]",
            what=f"{named} = {settings.work[named]!r}",
            rule="grafts are made on 1 to 7 days a week, one or more a day",
            next_step="write grafts_a_day = 120, days_a_week = 4, or leave out what is not known",
        )
    grafts = sum(row.grafts for row in ordered)
    days = math.nan if math.isnan(a_day) else float(whole_up(grafts / a_day))
    row: dict[str, Any] = {
        "grafts": grafts,
        "trays": sum(trays_of(row.grafts, tray_size) for row in ordered),
        "tray_size": tray_size,
        "grafts_a_day": a_day,
        "days": days,
        "days_a_week": in_week,
        "grafts_a_week": a_day * in_week,
        "weeks": grafts / (a_day * in_week),
        "window": window_text(settings),
    }
    return DataFrame([row], columns=list(COLUMNS))


def window_text(settings: TrialSettings) -> str:
    """The window of grafting as it was written; blank when it was not."""
    given = settings.work.get("window", "")
    if isinstance(given, list | tuple):
        return " to ".join(str(part) for part in given)
    return str(given).strip()


def _given(settings: TrialSettings, key: str) -> float:
    return float(settings.work.get(key, math.nan))
