"""How far is the season: what is grafted, what is wanted, what is due for a count?"""

from __future__ import annotations

import calendar
import datetime as dt

import numpy as np
import pandas as pd

from takestats.records.result import Records
from takestats.records.seasons import season_year
from takestats.records.settings import TrialSettings
from takestats.records.targets import is_meant, targets_of
from takestats.records.words import COUNT_NAMES

WEEKS_AFTER_GRAFTING = {"callus check": 4, "first": 8, "settled": 20}
"""Weeks from grafting until a count is due (common practice, no source).

Grafts made in winter stand still until the house warms: a settled count needs the first
flush to have hardened. Settings overrule it: count_after_weeks under [records].
"""

WEEKS_AFTER_BUD_BREAK = 10
"""Weeks from bud break of the understock until the first flush has hardened, for the
settled count where bud break is recorded (common practice, no source)."""

WANTED_COLUMNS = ("combination", "wanted", "grafted", "left", "counted", "taken", "short")
DUE_COLUMNS = (
    "tray_id",
    "season",
    "combination",
    "graft_date",
    "grafted",
    "due_from",
    "is_due",
    "reckoned_from",
)


def wanted_table(records: Records) -> pd.DataFrame:
    """What is grafted so far, what is wanted, and how much is left, per combination?

    Parameters
    ----------
    records : Records
        Only trays of the newest season count; targets are those of its settings.

    Returns
    -------
    pandas.DataFrame
        combination; wanted (plants, from the settings; NaN where none is set); grafted
        (grafts made); left (wanted minus grafted, not below 0, as if every graft took);
        counted (grafts made in trays that are counted); taken (of those); short (plants
        that would still be lacking if every graft not yet counted took). Combinations
        with a target come first, in the order of the settings.

    Raises
    ------
    SettingsError
        When a target is not a whole number of plants.

    Examples
    --------
    >>> from takestats.records.read import records_from_frame
    >>> bench = pd.DataFrame({"tray": ["A"], "scion": ["Acer rubrum 'Ember'"],
    ...     "understock": ["Acer rubrum"], "grafted": [30], "taken": [25]})
    >>> records = records_from_frame(
    ...     bench, trial={"targets": {"Acer rubrum 'Ember' on Acer rubrum": 100}})
    >>> wanted_table(records)[["wanted", "grafted", "left", "short"]].values.tolist()
    [[100.0, 30.0, 70.0, 75.0]]
    """
    trays = newest_season(records.trays)
    trays = trays[trays["made_by"] == "graft"]
    return _wanted(trays, records.trial)


def wanted_of_nothing(settings: TrialSettings) -> pd.DataFrame:
    """The same table while nothing is grafted: all that is wanted is left."""
    names = ("combination", "scion", "grafted", "taken", "counted")
    return _wanted(pd.DataFrame({name: [] for name in names}), settings)


def _wanted(trays: pd.DataFrame, settings: TrialSettings) -> pd.DataFrame:
    plants = targets_of(settings)
    names = {str(name).lower(): str(name) for name in _texts(trays, "combination") if name}
    rows = []
    used = np.zeros(len(trays), dtype=bool)
    for name, wanted in plants.items():
        of_pair = np.array(
            [is_meant(c, s, name) for c, s in zip(*_pair_of(trays), strict=True)], dtype=bool
        )
        rows.append(_wanted_row(names.get(name.lower(), name), wanted, trays[of_pair]))
        used |= of_pair
    rest = trays[~used]
    for name in dict.fromkeys(text for text in _texts(rest, "combination") if text):
        same = np.array([text == name for text in _texts(rest, "combination")], dtype=bool)
        rows.append(_wanted_row(name, np.nan, rest[same]))
    table = pd.DataFrame(rows, columns=list(WANTED_COLUMNS))
    table["combination"] = pd.Series(table["combination"].to_list(), dtype="str")
    return table.astype(dict.fromkeys(WANTED_COLUMNS[1:], "float64"))


def _pair_of(trays: pd.DataFrame) -> tuple[list[str], list[str]]:
    return _texts(trays, "combination"), _texts(trays, "scion")


def _wanted_row(name: str, wanted: float, trays: pd.DataFrame) -> dict[str, object]:
    grafted = float(trays["grafted"].sum())
    counted = trays[trays["counted"].astype(bool)]
    made, taken = float(counted["grafted"].sum()), float(counted["taken"].sum())
    return {
        "combination": name,
        "wanted": wanted,
        "grafted": grafted,
        "left": max(wanted - grafted, 0.0) if wanted == wanted else np.nan,
        "counted": made,
        "taken": taken,
        "short": max(wanted - taken - (grafted - made), 0.0) if wanted == wanted else np.nan,
    }


def due_table(records: Records, day: dt.date) -> pd.DataFrame:
    """Which trays wait for their count, and from when is it due?

    Parameters
    ----------
    records : Records
    day : datetime.date
        The day to reckon from.

    Returns
    -------
    pandas.DataFrame
        One row per tray that has grafts and not yet the count that is compared (settled,
        unless the settings name another), nor a later one: tray_id, season, combination
        (several joined by a semicolon), graft_date (the latest of the tray), grafted,
        due_from (ISO date; missing where the date of grafting is not recorded), is_due,
        reckoned_from ("bud break", "grafting" or "not recorded"). Due first, then by date.

    Notes
    -----
    With ``count_after_weeks`` in the settings: that long after grafting. Without it a
    settled count is due ten weeks after bud break of the understock where that is
    recorded, else twenty weeks after grafting (common practice, no source); a first count
    eight weeks, a callus check four weeks after grafting. A month without its day counts
    from its last day. Summer budding that is forced next spring needs its own weeks.
    """
    awaited = awaited_count(records.trial)
    names = list(COUNT_NAMES)
    enough = set(names[names.index(awaited) :])
    trays = records.trays.reset_index(drop=True)
    have = records.counts.loc[records.counts["count"].isin(enough), "line"]
    waiting = trays[~trays["line"].isin(have) & (trays["grafted"] > 0)]
    rows = [
        _due_row(str(tray), lines, awaited, records.trial, day)
        for tray, lines in waiting.groupby("tray_id", sort=False)
    ]
    table = pd.DataFrame(rows, columns=list(DUE_COLUMNS))
    for name in ("tray_id", "season", "combination", "graft_date", "due_from", "reckoned_from"):
        table[name] = pd.Series(table[name].to_list(), dtype="str")
    table = table.astype({"grafted": "float64", "is_due": "bool"})
    order_of = table["due_from"].fillna("9999").to_numpy(dtype=object)
    return table.iloc[np.argsort(order_of, kind="stable")].reset_index(drop=True)


def awaited_count(settings: TrialSettings) -> str:
    """The count that is compared: settled, unless the settings name another."""
    return str(settings.records.get("count") or "settled")


def weeks_of(settings: TrialSettings) -> float | None:
    """Weeks from grafting that the settings say, or None."""
    weeks = settings.records.get("count_after_weeks")
    return None if weeks is None else float(weeks)


def newest_season(trays: pd.DataFrame) -> pd.DataFrame:
    """The trays of the newest season; all of them when no season is known."""
    years = [season_year(s) if s[:4].isdecimal() else 0 for s in _texts(trays, "season")]
    newest: pd.DataFrame = trays[np.array(years, dtype=int) == max(years, default=0)]
    return newest


def _due_row(
    tray: str, lines: pd.DataFrame, count: str, settings: TrialSettings, day: dt.date
) -> dict[str, object]:
    grafted, broke = _latest(lines, "graft_date"), _latest(lines, "bud_break_date")
    weeks, since, from_what = weeks_of(settings), grafted, "grafting"
    if weeks is None:
        weeks = WEEKS_AFTER_GRAFTING.get(count)
        if count == "settled" and broke is not None:
            weeks, since, from_what = WEEKS_AFTER_BUD_BREAK, broke, "bud break"
    due = None if since is None or weeks is None else _last_day(since) + dt.timedelta(weeks=weeks)
    pairs = dict.fromkeys(text for text in _texts(lines, "combination") if text)
    return {
        "tray_id": tray,
        "season": _texts(lines, "season")[0],
        "combination": "; ".join(pairs) or None,
        "graft_date": grafted,
        "grafted": float(lines["grafted"].sum()),
        "due_from": None if due is None else due.isoformat(),
        "is_due": due is not None and due <= day,
        "reckoned_from": from_what if due is not None else "not recorded",
    }


def _latest(lines: pd.DataFrame, name: str) -> str | None:
    return max((text for text in _texts(lines, name) if text), default=None)


def _last_day(iso: str) -> dt.date:
    if len(iso) > 7:
        return dt.date.fromisoformat(iso)
    year, month = int(iso[:4]), int(iso[5:7])
    return dt.date(year, month, calendar.monthrange(year, month)[1])


def _texts(frame: pd.DataFrame, name: str) -> list[str]:
    if name not in frame:
        return [""] * len(frame)
    return [value if isinstance(value, str) else "" for value in frame[name]]
