"""How many cuttings rooted, and what did grafts of the same scion do?"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.answers.stage_lines import StageLines, stage_lines
from takestats.answers.stages import TAKEN, stage_shares
from takestats.models.result import TableResult
from takestats.wording import cuttings as words

if TYPE_CHECKING:
    from takestats.records.result import Records

COLUMNS = (
    "season",
    "scion",
    "rooted_share",
    "low",
    "high",
    "rooted",
    "struck",
    "trays",
    "first_date",
    "last_date",
    "take_rate",
    "take_low",
    "take_high",
    "taken",
    "grafts",
    "graft_trays",
    "graft_first_date",
    "graft_last_date",
)
NO_SCION = "scion not recorded"


@dataclass(frozen=True, eq=False, kw_only=True)
class RootedShares(TableResult):
    """Rooted cuttings by scion, grafts of the same scion beside them.

    Parameters
    ----------
    level : float
    """

    level: float


def rooted_shares(
    records: Records, *, count: str | None = None, level: float = 0.95
) -> RootedShares:
    """Of the cuttings struck how many rooted, and of the grafts of the same scion how many took?

    Parameters
    ----------
    records : Records
        Rows with ``made_by`` cutting: ``grafted`` is struck, ``taken`` is rooted.
    count : str, optional
        The compared count; the records' own when not given.
    level : float
        Confidence level.

    Returns
    -------
    RootedShares
        season, scion, rooted_share, low, high, rooted, struck (less missing ones), trays,
        first_date, last_date; take_rate, take_low, take_high, taken, grafts, graft_trays,
        graft_first_date, graft_last_date of the grafts of that scion in that season, nan
        where there are none. Proportions. Empty without cuttings.

    Raises
    ------
    UnknownLevelError
        For a count that no tray has.

    Notes
    -----
    Two sets of raw shares, each with its own quick limits; never one model and no difference
    between them: cuttings and grafts are made at other times, of other wood, and counted on
    other days, and which plants became which was not drawn by lot as far as records can say.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.cuttings import rooted_shares
    >>> bench = pd.DataFrame({"season": ["2026"] * 3, "tray": ["A", "B", "C"],
    ...     "made_by": ["cutting", "cutting", "graft"], "scion": ["Acer rubrum 'Ember'"] * 3,
    ...     "understock": [None, None, "Acer rubrum"], "grafted": [40, 40, 20],
    ...     "taken": [3, 1, 18]})
    >>> rooted = rooted_shares(ts.records_from_frame(bench)).table
    >>> rooted[["rooted", "struck", "taken"]].values.tolist()
    [[4.0, 80.0, 18.0]]
    """
    struck = stage_lines(records, count=count, made_by="cutting")
    rows: list[dict[str, Any]] = []
    if len(struck.table):
        rooted = _by_scion(struck, level)
        took = _by_scion(stage_lines(records, count=count), level)
        rows = [_row(key, own, took.get(key)) for key, own in rooted.items()]
    return RootedShares(
        _table=DataFrame(rows, columns=list(COLUMNS)),
        notes=words.cutting_notes(level) if rows else (),
        sentences=words.cutting_sentences(rows, level),
        level=level,
    )


def _by_scion(lines: StageLines, level: float) -> dict[tuple[str, str], dict[str, Any]]:
    """Raw shares by season and scion; a blank scion has its own row."""
    if lines.table.empty:
        return {}
    named = lines.table["scion"].fillna(NO_SCION) if "scion" in lines.table else NO_SCION
    known = replace(lines, table=lines.table.assign(scion=named))
    shares = stage_shares(known, "scion", level=level).table
    taken = shares[shares["stage"] == TAKEN]
    rows = [{str(name): value for name, value in row.items()} for row in taken.to_dict("records")]
    return {(str(row["season"]), str(row["scion"])): row for row in rows}


def _row(
    key: tuple[str, str], own: dict[str, Any], grafts: dict[str, Any] | None
) -> dict[str, Any]:
    row: dict[str, Any] = {"season": key[0], "scion": key[1]}
    for name, source in _OWN.items():
        row[name] = own[source]
    for name, source in _GRAFTS.items():
        missing = "" if name.endswith("date") else math.nan
        row[name] = missing if grafts is None else grafts[source]
    return row


_OWN = {
    "rooted_share": "share",
    "low": "low",
    "high": "high",
    "rooted": "alive",
    "struck": "out_of",
    "trays": "trays",
    "first_date": "first_date",
    "last_date": "last_date",
}
_GRAFTS = {
    "take_rate": "share",
    "take_low": "low",
    "take_high": "high",
    "taken": "alive",
    "grafts": "out_of",
    "graft_trays": "trays",
    "graft_first_date": "first_date",
    "graft_last_date": "last_date",
}
