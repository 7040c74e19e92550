"""Which rows contradict themselves?"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.columns import BY_NAME
from takestats.records.problems import FaultLog
from takestats.records.seasons import season_year
from takestats.records.words import COUNT_NAMES
from takestats.wording.faults import spoken

Values = NDArray[Any]
Mask = NDArray[np.bool_]

_DATE_PAIRS = (
    ("scion_cut_date", "graft_date", "date_after"),
    ("graft_date", "count_date", "date_before"),
    ("graft_date", "later_count_date", "date_before"),
    ("graft_date", "saleable_date", "date_before"),
    ("count_date", "later_count_date", "date_before"),
)
"""Two dates in the order of time, and the rule that is told when they are not."""

_COUNT_OF_DATE = {
    "count_date": "taken",
    "later_count_date": "alive_later",
    "saleable_date": "saleable",
}


class Cells:
    """The converted columns; one that the file does not have is blank."""

    def __init__(self, values: dict[str, Values], size: int) -> None:
        self.values = values
        self.size = size

    def number(self, name: str) -> NDArray[np.float64]:
        """A column of numbers."""
        return self.values.get(name, np.full(self.size, np.nan))

    def text(self, name: str) -> Values:
        """A column of text."""
        return self.values.get(name, np.full(self.size, None, dtype=object))

    def given(self, name: str) -> Mask:
        """Rows where the cell is not blank."""
        if BY_NAME[name].kind in ("whole", "length"):
            return ~np.isnan(self.number(name))
        return np.array([cell is not None for cell in self.text(name)], dtype=bool)


def check_rows(cells: Cells, log: FaultLog, single: Mask, *, trays_recorded: bool) -> None:
    """Check each row by itself; a cell that is already at fault is left alone."""
    _check_single(cells, log, single)
    _check_presence(cells, log, single, trays_recorded=trays_recorded)
    _check_sums(cells, log)
    _check_dates(cells, log)
    _check_gaps(cells, log)
    _check_season(cells, log)
    _check_cuttings(cells, log)


def _check_single(cells: Cells, log: FaultLog, single: Mask) -> None:
    if not single.any():
        return
    grafted, taken = cells.number("grafted"), cells.number("taken")
    rows = np.flatnonzero(single & (grafted > 1) & log.usable("grafted"))
    log.add("graft_not_one", rows, "grafted")
    rows = np.flatnonzero(single & (taken > 1) & log.usable("taken"))
    log.add("graft_not_0_1", rows, "taken")


def _check_presence(cells: Cells, log: FaultLog, single: Mask, *, trays_recorded: bool) -> None:
    if trays_recorded and "tray" in cells.values:
        rows = np.flatnonzero(~cells.given("tray") & log.usable("tray"))
        log.add("no_tray", rows, "tray")
    told = cells.given("taken") | log.bad("taken") | cells.given("count_date")
    told |= log.bad("count_date") | cells.given("graft_date") | cells.given("alive_later")
    rows = np.flatnonzero(told & ~cells.given("grafted") & ~single & log.usable("grafted"))
    log.add("no_grafted", rows, "grafted")
    for date, count in _COUNT_OF_DATE.items():
        dated = cells.given(date) & ~cells.given(count) & ~single
        rows = np.flatnonzero(dated & log.usable(date, count))
        each = {"date": cells.text(date)[rows]}
        log.add("date_without_count", rows, count, each=each, words={"dated": spoken(date)})


def _check_sums(cells: Cells, log: FaultLog) -> None:
    grafted = cells.number("grafted")
    parts = ("taken", "understock_dead", "missing", "alive_later")
    for name in parts:
        part = cells.number(name)
        rows = np.flatnonzero((part > grafted) & log.usable(name, "grafted"))
        log.add("more_than_grafted", rows, name, each={"grafted": grafted[rows]})
    taken = cells.number("taken")
    dead, missing = cells.number("understock_dead"), cells.number("missing")
    with_dead = taken + np.nan_to_num(dead)
    fine = log.usable("taken", "understock_dead", "missing", "grafted")
    over_dead = (with_dead > grafted) & fine
    over_missing = (with_dead + np.nan_to_num(missing) > grafted) & fine & ~over_dead
    for name, over in (("understock_dead", over_dead), ("missing", over_missing)):
        rows = np.flatnonzero(over)
        each = {
            "taken": taken[rows],
            "dead": np.nan_to_num(dead[rows]),
            "missing": np.nan_to_num(missing[rows]),
            "grafted": grafted[rows],
        }
        log.add("parts_over_whole", rows, name, each=each)
    for name in ("saleable", "defects_later"):
        part = cells.number(name)
        rows = np.flatnonzero((part > taken) & log.usable(name, "taken", "grafted"))
        log.add("more_than_taken", rows, name)
    later = cells.number("alive_later")
    rows = np.flatnonzero((later > taken) & log.usable("alive_later", "taken", "grafted"))
    log.add("alive_rose", rows, "alive_later")


def _check_dates(cells: Cells, log: FaultLog) -> None:
    """Days and months are compared at the precision that both have."""
    for first, second, code in _DATE_PAIRS:
        if first not in cells.values or second not in cells.values:
            continue
        before, after = cells.text(first), cells.text(second)
        both = np.flatnonzero(cells.given(first) & cells.given(second) & log.usable(first, second))
        rows = both[_earlier(after[both], before[both])]
        told, other = (second, first) if code == "date_before" else (first, second)
        log.add(code, rows, told, words={"other": spoken(other)})


def _earlier(after: Values, before: Values) -> Mask:
    """Where the second date is before the first; each pair of dates is compared once."""
    a_codes, a = pd.factorize(after)
    b_codes, b = pd.factorize(before)
    codes, pairs = pd.factorize(a_codes.astype(np.int64) * max(len(b), 1) + b_codes)
    early = [_is_before(a[pair // len(b)], b[pair % len(b)]) for pair in pairs]
    return np.array(early, dtype=bool)[codes]


def _is_before(a: str, b: str) -> bool:
    size = min(len(a), len(b))
    return a[:size] < b[:size]


_LONGEST = (("scion_cut_date", "graft_date", 9), ("graft_date", "count_date", 15))
"""Two dates, and the months after which a slip of the year is likely (common practice,
no source). Counts after the settled one may come years later and are not asked about."""


def _check_gaps(cells: Cells, log: FaultLog) -> None:
    """A date that is a year off is in the right order and still wrong."""
    for first, second, most in _LONGEST:
        if first not in cells.values or second not in cells.values:
            continue
        both = cells.given(first) & cells.given(second) & log.usable(first, second, "count")
        if second == "count_date":
            early = list(COUNT_NAMES)[: list(COUNT_NAMES).index("settled") + 1]
            both &= np.array([c is None or c in early for c in cells.text("count")], dtype=bool)
        at = np.flatnonzero(both)
        months = _months(cells.text(second)[at]) - _months(cells.text(first)[at])
        told = first if second == "graft_date" else second
        words = {"first": spoken(first), "second": spoken(second), "most": str(most)}
        rows = at[months > most]
        log.add("long_gap", rows, told, words=words, each={"months": months[months > most]})


def _months(dates: Values) -> NDArray[np.intp]:
    codes, distinct = pd.factorize(dates)
    months = np.array([int(d[:4]) * 12 + int(d[5:7]) for d in distinct], dtype=np.intp)
    return months[codes]


def _check_season(cells: Cells, log: FaultLog) -> None:
    """The season is the year of its settled count."""
    seasons, dates = cells.text("season"), cells.text("count_date")
    counts = cells.text("count")
    told = cells.given("count_date") & log.usable("season", "count_date", "count")
    settled = told & np.array([c in (None, "settled") for c in counts], dtype=bool)
    for season in dict.fromkeys(seasons.tolist()):
        if season is None or not season[:1].isdigit():
            continue
        year = str(season_year(season))
        here = np.flatnonzero(settled & (seasons == season))
        rows = here[np.array([not d.startswith(year) for d in dates[here]], dtype=bool)]
        log.add("season_against_date", rows, "count_date", words={"season": season})


def _check_cuttings(cells: Cells, log: FaultLog) -> None:
    if "made_by" not in cells.values:
        return
    cutting = cells.text("made_by") == "cutting"
    for name in ("understock", "method"):
        rows = np.flatnonzero(cutting & cells.given(name) & log.usable(name, "made_by"))
        log.add("cutting_with_graft", rows, name)
