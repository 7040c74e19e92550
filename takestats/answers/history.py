"""What did earlier seasons show? Raw, season by season, as history."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.answers.population import names
from takestats.answers.raw import raw_levels
from takestats.interval import check_level
from takestats.models.result import TableResult
from takestats.wording import trays as words

if TYPE_CHECKING:
    from takestats.records.result import Records


@dataclass(frozen=True, eq=False, kw_only=True)
class SeasonHistory(TableResult):
    """Raw takes of each season.

    Parameters
    ----------
    by : tuple of str
    """

    by: tuple[str, ...]


def season_history(
    records: Records,
    by: str | Sequence[str] | None = None,
    *,
    count: str | None = None,
    out_of: str = "made",
    level: float = 0.95,
) -> SeasonHistory:
    """What did each season show, by itself?

    Parameters
    ----------
    records : Records
    by : str, list of str or None
        Columns whose levels are told apart.
    count, out_of
        As for :func:`takestats.fit_take`.
    level : float
        Confidence level.

    Returns
    -------
    SeasonHistory
        season, the columns, taken, tried, trays, raw_rate, raw_low, raw_high.
        Oldest season first; seasons are never pooled.

    Raises
    ------
    UnknownColumnError, DesignError

    Notes
    -----
    Limits by the quick closed form, one dispersion a season.

    References
    ----------
    See :func:`takestats.models.quick.quick_rates`.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.history import season_history
    >>> bench = pd.DataFrame({
    ...     "season": ["2024-25"] * 2 + ["2025-26"] * 2, "tray": list("ABCD"),
    ...     "grafted": [40] * 4, "taken": [31, 36, 40, 39]})
    >>> season_history(ts.records_from_frame(bench)).table["season"].tolist()
    ['2024-25', '2025-26']
    """
    check_level(level)
    columns = list(names(by))
    rows: list[dict[str, Any]] = []
    known = sorted(str(s) for s in records.trays["season"].dropna().unique())
    for season in known:
        counted_here = records.trays[records.trays["season"].astype(str) == season]
        if not counted_here["counted"].astype(bool).any():
            continue
        if any(counted_here[column].isna().all() for column in columns if column in counted_here):
            continue
        for found in raw_levels(
            records, columns, season=season, count=count, out_of=out_of, level=level
        ):
            rows.append(
                {"season": season}
                | dict(zip(columns, found.key, strict=True))
                | {
                    "taken": found.counts["taken"],
                    "tried": found.counts["grafts"],
                    "trays": found.counts["trays"],
                    "raw_rate": found.rate,
                    "raw_low": found.low,
                    "raw_high": found.high,
                }
            )
    table = DataFrame(
        rows,
        columns=["season", *columns, "taken", "tried", "trays", "raw_rate", "raw_low", "raw_high"],
    )
    return SeasonHistory(
        _table=table,
        notes=(words.HISTORY_NOTE,),
        sentences=words.history_sentences(rows, columns, level),
        by=tuple(columns),
    )
