"""What take will the next season, or the next tray, bring?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.population import names
from takestats.answers.raw import counted
from takestats.answers.season_lines import of_relation, season_lines
from takestats.errors import CountsError, DesignError
from takestats.interval import check_level
from takestats.models.belief import SpreadEstimate
from takestats.models.fit_notes import count_dates
from takestats.models.grid_pairs import Distribution
from takestats.models.grouped_belief import spread_limits
from takestats.models.grouped_seasons import SeasonFit, fit_new_kind, fit_seasons
from takestats.models.line_arrays import LineArrays
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.records.result import Records
from takestats.wording import groups as words
from takestats.wording.models import count_note

New = Literal["season", "tray"]
Side = Literal["lower", "upper", "both"]
_SPREAD_LEVEL = 0.95


@dataclass(frozen=True, eq=False, kw_only=True)
class ExpectedTake(TableResult):
    """Prediction limits of the take of a new season or a new tray.

    Parameters
    ----------
    by : tuple of str
    new : {"season", "tray"}
    level : float
    side : {"lower", "upper", "both"}
    """

    by: tuple[str, ...]
    new: str
    level: float
    side: str
    _new_combination: DataFrame = field(repr=False)

    @property
    def new_combination(self) -> DataFrame:
        """A combination not yet tried: as the table, one row; empty unless asked for."""
        return self._new_combination.copy()


def expected_take(
    model: TakeModel | Records,
    by: str | Sequence[str] | None,
    *,
    new: New = "season",
    level: float = 0.9,
    side: Side = "lower",
    relation: str | None = None,
) -> ExpectedTake:
    """What take will the next season, or the next tray, bring?

    Parameters
    ----------
    model : TakeModel or Records
        All seasons of its records are used, the count and denominator of the
        model, or those the records chose.
    by : str, list of str or None
        Whose take: ``"combination"``, another column, the cells of several,
        or None for all grafts together.
    new : {"season", "tray"}
        A whole season not yet seen, averaged over its trays; or one more tray
        of the newest season on record.
    level : float
        Probability that the new take lies on the right side of the limit (or
        between both).
    side : {"lower", "upper", "both"}
        ``"both"`` leaves the same share outside on either side.
    relation : str, optional
        Only combinations of this relation (``"same genus"``), or ``"any"``,
        and a combination of that relation that was not tried yet:
        ``new_combination``.

    Returns
    -------
    ExpectedTake
        One row per level: the level column(s), expected_take (the middle),
        low and high (1 or 0 on the side that was not asked for), seasons,
        trays, grafts, raw_rate, pooled (spread between seasons shared with
        others), spread_between_seasons with spread_low and spread_high (log
        odds, 95 %). Proportions.

    Raises
    ------
    CountsError
        For a ``new``, ``side`` or ``level`` that cannot be used.
    UnknownColumnError, UnknownLevelError
        For a column or relation the records do not have.
    DesignError
        No line can be used.

    Notes
    -----
    The season is the group: log odds of a season's middle tray are normal
    around the combination's own middle; trays nested, both families. Four
    combinations or more with two seasons or more share the spread between
    seasons (half-normal, scale 1); else each stands by itself (scale .5), and
    with one season that assumption alone makes the limits. A bad year that
    hits every combination leaves only as many draws as there were seasons:
    combinations are taken to vary independently, so that with few seasons the
    shared limits are too narrow when one year is bad for all.

    References
    ----------
    Prediction of a new group of a random-effects model: Higgins, Thompson &
    Spiegelhalter 2009, J R Stat Soc A 172:137-159 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2023-24"] * 3 + ["2024-25"] * 3,
    ...     "tray": ["A", "B", "C"] * 2, "scion": "moth", "understock": "virginiana",
    ...     "grafted": 40, "taken": [36, 38, 35, 30, 33, 31]})
    >>> settings = {"names": {"moth": "Hamamelis x intermedia 'Copper Moth'",
    ...                       "virginiana": "Hamamelis virginiana"}}
    >>> records = ts.records_from_frame(bench, trial=settings)
    >>> found = expected_take(records, "combination").table.iloc[0]
    >>> bool(found["low"] < found["expected_take"]), int(found["seasons"]), bool(found["pooled"])
    (True, 2, False)
    """
    check_level(level)
    _check_word("new", new, ("season", "tray"))
    _check_word("side", side, ("lower", "upper", "both"))
    records = model.records if isinstance(model, TakeModel) else model
    columns = [name for name in names(by) if name != "season"]
    lines, out_of, count, seasoned = season_lines(model, records, columns)
    table = lines.table
    if relation is not None:
        table = of_relation(table, relation)
    arrays = LineArrays.of(table, columns, columns)
    cells = arrays.patterns(columns)
    known = list(dict.fromkeys(cells))
    kind = np.array([known.index(cell) for cell in cells], dtype=np.int64)
    no_trays = records.no_trays
    fits = fit_seasons(arrays.taken, arrays.tried, kind, arrays.season, no_trays=no_trays)
    tails = _tails(level, side)
    rows: list[dict[str, Any]] = []
    for index, (cell, (fit, place)) in enumerate(zip(known, fits, strict=True)):
        mask = kind == index
        found = fit.new_season(place) if new == "season" else fit.new_tray(place)
        counts = counted(arrays, mask, trays_recorded=not no_trays)
        rows.append(
            dict(zip(columns, cell, strict=True))
            | _limits(found, tails)
            | {
                "seasons": len(fit.seasons[place]) if seasoned else 0,
                "trays": counts["trays"],
                "grafts": counts["grafts"],
                "raw_rate": counts["taken"] / counts["grafts"],
                "pooled": fit.pooled,
            }
            | _spread(fit)
        )
    fresh, said = _new_combination(arrays, kind, columns, relation, new, tails, no_trays=no_trays)
    pairs = np.column_stack([kind, arrays.season])
    lone = np.unique(pairs, axis=0).shape[0] == kind.size
    notes = [
        *words.expected_notes(new, level, side, trays_recorded=not no_trays),
        *(_season_notes(fits, rows, seasoned) if new == "season" else ()),
        *((words.LONE_TRAYS_NOTE,) if lone and not no_trays else ()),
        count_note(count, count_dates(table), out_of),
        *words.mixed_notes(columns),
        *lines.notes,
        *said,
    ]
    sentences = words.expected_sentences(rows, columns, new, side, level)
    if len(fresh):
        row = {str(name): value for name, value in fresh.iloc[0].items()}
        sentences += (words.new_combination_sentence(relation, row, new, side, level),)
    return ExpectedTake(
        _table=DataFrame(rows),
        notes=tuple(notes),
        sentences=sentences,
        by=tuple(columns),
        new=new,
        level=level,
        side=side,
        _new_combination=fresh,
    )


def _check_word(where: str, value: str, known: tuple[str, ...]) -> None:
    if value not in known:
        raise CountsError(
            where=where,
            what=f"{value!r}",
            rule=" or ".join(known),
            next_step="choose one of these",
        )


def _tails(level: float, side: str) -> tuple[float, float]:
    """Shares below the low and the high limit; 0 and 1 where none is asked for."""
    if side == "both":
        return (1.0 - level) / 2.0, (1.0 + level) / 2.0
    return (1.0 - level, 1.0) if side == "lower" else (0.0, level)


def _limits(found: Distribution, tails: tuple[float, float]) -> dict[str, float]:
    low, middle, high = found.quantiles((max(tails[0], 1e-12), 0.5, min(tails[1], 1.0 - 1e-12)))
    return {
        "expected_take": middle,
        "low": low if tails[0] > 0.0 else 0.0,
        "high": high if tails[1] < 1.0 else 1.0,
    }


def _spread(fit: SeasonFit) -> dict[str, float]:
    found = _season_spread(fit)
    return {
        "spread_between_seasons": found.estimate,
        "spread_low": found.low,
        "spread_high": found.high,
    }


def _season_spread(fit: SeasonFit) -> SpreadEstimate:
    return spread_limits(fit.posterior.between(), _SPREAD_LEVEL)


def _season_notes(
    fits: Sequence[tuple[SeasonFit, int]], rows: Sequence[dict[str, Any]], seasoned: bool
) -> list[str]:
    """What the spread between seasons rests on: once when pooled, else for each kind of support."""
    if not seasoned:
        return [words.season_spread_note(0, 0, pooled=False, scale=fits[0][0].scale, spread=None)]
    first = fits[0][0]
    if first.pooled:
        many = sum(len(seasons) > 1 for seasons in first.seasons)
        known = {season for seasons in first.seasons for season in seasons}
        found = _season_spread(first)
        limits = (found.estimate, found.low, found.high)
        return [
            words.season_spread_note(
                len(known), many, pooled=True, scale=first.scale, spread=limits
            )
        ]
    seasons = sorted({int(row["seasons"]) for row in rows})
    return [
        words.season_spread_note(number, 1, pooled=False, scale=first.scale, spread=None)
        for number in dict.fromkeys(min(number, 2) for number in seasons)
    ]


def _new_combination(
    arrays: LineArrays,
    kind: NDArray[np.int64],
    columns: list[str],
    relation: str | None,
    new: str,
    tails: tuple[float, float],
    *,
    no_trays: bool,
) -> tuple[DataFrame, list[str]]:
    if relation is None:
        return DataFrame(), []
    number = int(kind.max()) + 1
    if not columns or number < 2:
        raise DesignError(
            where="relation",
            what=f"{number} on record",
            rule="a combination not yet tried is judged by two or more that were",
            next_step='ask by="combination", or with relation="any"',
        )
    found = fit_new_kind(arrays.taken, arrays.tried, kind, arrays.season, no_trays=no_trays)
    every = np.ones(kind.size, dtype=bool)
    counts = counted(arrays, every, trays_recorded=not no_trays)
    row = _limits(found.take if new == "season" else found.tray, tails) | {
        "combinations": number,
        "seasons": int(np.unique(arrays.season).size),
        "trays": counts["trays"],
        "grafts": counts["grafts"],
    }
    return DataFrame([row]), [words.new_combination_note(relation, number, columns)]
