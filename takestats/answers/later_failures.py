"""Do grafts of another species or genus fail later more often, once they took?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.answers.stage_lines import StageLines, stage_lines
from takestats.answers.stages import LATER, stage_shares
from takestats.models.result import TableResult
from takestats.wording import stages as words

if TYPE_CHECKING:
    from takestats.records.result import Records

COLUMNS = (
    "season",
    "relation",
    "failed_share",
    "low",
    "high",
    "failed",
    "out_of",
    "trays",
    "combinations",
    "first_date",
    "last_date",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class LaterFailures(TableResult):
    """Shares of the grafts that took and were dead at the later count, by relation.

    Parameters
    ----------
    level : float
    """

    level: float


def later_failures(
    records: Records | StageLines,
    *,
    count: str | None = None,
    out_of: str = "made",
    level: float = 0.95,
) -> LaterFailures:
    """Of the grafts that took, how many were dead later, by how near scion and understock are?

    Parameters
    ----------
    records : Records or StageLines
    count, out_of
        As for :func:`takestats.fit_take`.
    level : float
        Confidence level.

    Returns
    -------
    LaterFailures
        season, relation, failed_share, low, high, failed, out_of (that took), trays (that
        record both counts), combinations, first_date, last_date of the later count. Every
        season on its own; seasons and relations without a later count are not there.

    Raises
    ------
    UnknownLevelError, CountsError

    Notes
    -----
    One less the share alive later of :func:`takestats.answers.stages.stage_shares`. A graft
    not found at the later count counts as dead. A relation stands for the few combinations
    that were made of it: seen together, not shown to cause.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.later_failures import later_failures
    >>> bench = pd.DataFrame({"season": ["2026"] * 2, "tray": ["A", "B"], "grafted": [20, 20],
    ...     "relation": ["same species", "same genus"], "taken": [18, 20],
    ...     "alive_later": [18, 15], "later_count_date": ["2027-04-20"] * 2})
    >>> later_failures(ts.records_from_frame(bench)).table["failed"].tolist()
    [5.0, 0.0]
    """
    lines = (
        records
        if isinstance(records, StageLines)
        else stage_lines(records, count=count, out_of=out_of)
    )
    rows: list[dict[str, Any]] = []
    known = lines.table[lines.table["alive_later"].notna()]
    if "relation" in known and known["relation"].notna().any():
        table = stage_shares(lines, "relation", level=level).table
        table = table[(table["stage"] == LATER) & table["share"].notna()]
        for row in table.to_dict("records"):
            own = known[(known["season"] == row["season"]) & (known["relation"] == row["relation"])]
            pairs = own["combination"].nunique() if "combination" in own else 0
            rows.append(
                {
                    "season": row["season"],
                    "relation": row["relation"],
                    "failed_share": 1.0 - row["share"],
                    "low": 1.0 - row["high"],
                    "high": 1.0 - row["low"],
                    "failed": row["out_of"] - row["alive"],
                    "out_of": row["out_of"],
                    "trays": row["trays"],
                    "combinations": float(pairs) if pairs else math.nan,
                    "first_date": row["first_date"],
                    "last_date": row["last_date"],
                }
            )
    return LaterFailures(
        _table=DataFrame(rows, columns=list(COLUMNS)),
        notes=words.failure_notes(lines.later, level),
        sentences=words.failure_sentences(rows, level),
        level=level,
    )
