"""What becomes of a graft after it took: alive later, fit for sale?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.stage_lines import StageLines, levels_of, stage_lines
from takestats.interval import check_level
from takestats.models.lines import check_columns
from takestats.models.quick import quick_rates
from takestats.models.result import TableResult
from takestats.wording import stages as words

if TYPE_CHECKING:
    from takestats.records.result import Records

Floats = NDArray[np.float64]

TAKEN, LATER = "taken", "alive later"
SALEABLE_OF_TAKEN, SALEABLE_OF_MADE = "saleable of taken", "saleable of made"
STAGES: tuple[tuple[str, str, str, str], ...] = (
    (TAKEN, "taken", "tried", "count_date"),
    (LATER, "alive_later", "taken", "later_date"),
    (SALEABLE_OF_TAKEN, "saleable", "taken", "saleable_date"),
    (SALEABLE_OF_MADE, "saleable", "tried", "saleable_date"),
)
"""Each stage: its name, what was counted, out of what, and the column of its date."""

COLUMNS = (
    "stage",
    "share",
    "low",
    "high",
    "alive",
    "out_of",
    "trays",
    "counted_trays",
    "grafted",
    "first_date",
    "last_date",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class StageShares(TableResult):
    """Raw shares of the stages of a graft.

    Parameters
    ----------
    by : str
        The column whose levels are told apart; blank for all together.
    lines : StageLines
        What they were counted on.
    level : float
    """

    by: str
    lines: StageLines
    level: float

    def row(self, stage: str, level: str = "all", season: str | None = None) -> dict[str, Any]:
        """One row of the table, the newest season's when none is named.

        Raises
        ------
        KeyError
            When there is no such row.
        """
        table = self._table
        chosen = str(table["season"].max()) if season is None else season
        rows = table[(table["season"] == chosen) & (table["stage"] == stage)]
        rows = rows[rows[self.by or "level"] == level]
        if rows.empty:
            raise KeyError((stage, level, chosen))
        return {str(name): value for name, value in rows.iloc[0].items()}


def stage_shares(
    records: Records | StageLines,
    by: str | None = None,
    *,
    season: str | None = None,
    count: str | None = None,
    out_of: str = "made",
    level: float = 0.95,
) -> StageShares:
    """Of the grafts made how many took, of those how many lived on, and how many can be sold?

    Parameters
    ----------
    records : Records or StageLines
        Lines that are already there are not made again; ``count`` and ``out_of`` are theirs.
    by : str, optional
        Column whose levels are told apart.
    season : str, optional
        One season; else every season, each on its own.
    count, out_of
        As for :func:`takestats.fit_take`.
    level : float
        Confidence level.

    Returns
    -------
    StageShares
        season, the column (``level`` without one), stage ("taken", "alive later", "saleable
        of taken", "saleable of made"), share, low, high, alive (how many), out_of (of how
        many), trays (that record both counts), counted_trays (that have the compared count),
        grafted (grafts made in these), first_date, last_date. A stage that was not recorded
        has nan; so has a share of nothing. Proportions.

    Raises
    ------
    UnknownColumnError, UnknownLevelError, CountsError

    Notes
    -----
    Raw shares of a level's own trays, nothing adjusted. A tray enters a share of those that
    took only where both counts are recorded. Wilson limits on an effective number, one
    dispersion for each season and stage: the closed form of
    :func:`takestats.models.quick.quick_rates`. In simulated trials its worst setting held a
    take in 89 of 100; near 100 % and with few trays it is wide.

    References
    ----------
    Wilson limits: Newcombe 1998, Stat Med 17:857-872, method 3.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.stages import stage_shares
    >>> bench = pd.DataFrame({"season": ["2026"] * 2, "tray": ["A", "B"], "grafted": [20, 20],
    ...     "taken": [18, 16], "saleable": [17, 14]})
    >>> shares = stage_shares(ts.records_from_frame(bench)).table
    >>> shares.loc[shares["stage"] == "saleable of taken", ["alive", "out_of"]].values.tolist()
    [[31.0, 34.0]]
    """
    check_level(level)
    lines = (
        records
        if isinstance(records, StageLines)
        else stage_lines(records, count=count, out_of=out_of)
    )
    if by is not None:
        check_columns([by], lines.table, "stages")
    shown = [name for name in lines.seasons if season is None or name == season]
    rows: list[dict[str, Any]] = []
    for name in shown:
        own = lines.of_season(name)
        if by is not None and own[by].isna().all():
            continue
        rows += [{"season": name} | row for row in _season_rows(own, by, lines, level)]
    label = by or "level"
    return StageShares(
        _table=DataFrame(rows, columns=["season", label, *COLUMNS]),
        notes=words.stage_notes(lines.count, lines.out_of, level, lines.rose, lines.later),
        sentences=words.stage_sentences(rows, label, by is not None, level),
        by=by or "",
        lines=lines,
        level=level,
    )


def _season_rows(
    own: DataFrame, by: str | None, lines: StageLines, level: float
) -> list[dict[str, Any]]:
    """Every level and stage of one season."""
    label = by or "level"
    levels = levels_of(own, by)
    kept = np.array([value is not None for value in levels])
    own, codes, names = own[kept], *_coded(levels[kept])
    trays = pd.factorize(own["tray_id"])[0]
    grafted = np.bincount(codes, own["grafted"].to_numpy(dtype=float), len(names))
    everyone = _distinct(codes, trays, len(names))
    found = {
        stage: _stage(own, codes, trays, len(names), stage[1:], lines.trays_recorded, level)
        for stage in STAGES
    }
    no_trays = math.nan if not lines.trays_recorded else 0.0
    return [
        {label: name, "stage": stage[0]}
        | {key: values[index] for key, values in shares.items()}
        | {"counted_trays": float(everyone[index]) + no_trays, "grafted": float(grafted[index])}
        for index, name in enumerate(names)
        for stage, shares in found.items()
    ]


def _coded(levels: NDArray[np.object_]) -> tuple[NDArray[np.int64], list[str]]:
    names = sorted(set(levels.tolist()))
    place = {name: i for i, name in enumerate(names)}
    return np.array([place[value] for value in levels], dtype=np.int64), names


def _distinct(codes: NDArray[np.int64], trays: NDArray[Any], size: int) -> NDArray[np.int64]:
    """How many different trays each group has."""
    pairs = np.unique(np.stack([codes, trays.astype(np.int64)]), axis=1)
    return np.bincount(pairs[0], minlength=size)


def _stage(
    own: DataFrame,
    codes: NDArray[np.int64],
    trays: NDArray[Any],
    size: int,
    stage: Sequence[str],
    trays_recorded: bool,
    level: float,
) -> dict[str, list[Any]]:
    """One stage of every level: a share, its limits, and what it rests on."""
    counted, base, date = stage
    alive = own[counted].to_numpy(dtype=float, na_value=np.nan)
    out_of = own[base].to_numpy(dtype=float, na_value=np.nan)
    both = ~np.isnan(alive) & ~np.isnan(out_of)
    here = both & (out_of > 0)
    groups, tray = codes[here], trays[here].astype(np.int64)
    rates: list[tuple[float, float, float]] = [(math.nan,) * 3] * size
    if here.any():
        rates = quick_limits(
            alive[here], out_of[here], groups, tray, size, level, trays_recorded=trays_recorded
        )
    totals = [np.bincount(codes[both], values[both], size) for values in (alive, out_of)]
    seen = _distinct(codes[both], trays[both], size)
    none = seen == 0
    dates = own[date].fillna("").to_numpy(dtype=object)
    spans = [
        sorted({str(d) for d in dates[both & (codes == group)] if d}) or [""]
        for group in range(size)
    ]
    told = seen.astype(float) if trays_recorded else np.full(size, math.nan)
    return {
        "share": [rate for rate, _, _ in rates],
        "low": [low for _, low, _ in rates],
        "high": [high for _, _, high in rates],
        "alive": [math.nan if none[i] else float(totals[0][i]) for i in range(size)],
        "out_of": [math.nan if none[i] else float(totals[1][i]) for i in range(size)],
        "trays": [float(told[i]) for i in range(size)],
        "first_date": [span[0] for span in spans],
        "last_date": [span[-1] for span in spans],
    }


def quick_limits(
    alive: Floats,
    out_of: Floats,
    codes: NDArray[np.int64],
    trays: NDArray[np.int64],
    size: int,
    level: float,
    *,
    trays_recorded: bool,
) -> list[tuple[float, float, float]]:
    """Raw share of each group with its quick limits; lines of one tray and group are one.

    Parameters
    ----------
    alive, out_of : ndarray of shape (lines,)
        ``out_of`` above 0.
    codes, trays : ndarray of int, shape (lines,)
    size : int
        How many groups; one without a line has nan.
    level : float
    trays_recorded : bool
        Else every plant is counted as if it stood alone.
    """
    pairs, place = np.unique(np.stack([codes, trays]), axis=1, return_inverse=True)
    place = place.ravel()
    group_of, dense = np.unique(pairs[0], return_inverse=True)
    sums = [np.asarray(np.bincount(place, values), dtype=float) for values in (alive, out_of)]
    quick = quick_rates(sums[0], sums[1], dense.ravel())
    if not trays_recorded:
        quick = quick.as_if_independent()
    found: list[tuple[float, float, float]] = [(math.nan,) * 3] * size
    for index, group in enumerate(group_of.tolist()):
        found[group] = quick.limits(index, level)
    return found
