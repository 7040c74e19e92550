"""Whom does an averaged take speak of?

A level's take is averaged over all lines of the fit, every line with that
factor set to the level: the same mix of everything else for each level.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any, Literal

import numpy as np
from pandas import DataFrame

from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.belief import WEIGHT
from takestats.models.lines import nearest
from takestats.models.take_model import TakeModel

Weights = Literal["grafts", "trays"]
Levels = tuple[str, ...]


@dataclass(frozen=True, eq=False, kw_only=True)
class Question:
    """What an answer is asked by, within and over.

    Parameters
    ----------
    by, within : tuple of str
        Columns whose levels are told apart.
    base : DataFrame
        The lines averaged over, one row per pattern, with their weight.
    """

    by: tuple[str, ...]
    within: tuple[str, ...]
    base: DataFrame


def names(value: str | Sequence[str] | None) -> tuple[str, ...]:
    """One name, several or none, as a tuple."""
    if value is None:
        return ()
    return (value,) if isinstance(value, str) else tuple(value)


def _check(model: TakeModel, columns: Sequence[str], where: str) -> None:
    for column in columns:
        if column not in model.factors:
            raise UnknownColumnError(
                where=where,
                what=f"{column!r}",
                rule="a factor of this model",
                next_step=nearest(column, list(model.factors))
                + "; or fit again with it among the factors",
            )


def _chosen(lines: DataFrame, over: Mapping[str, Any] | None, where: str) -> DataFrame:
    for column, wanted in (over or {}).items():
        if column not in lines.columns:
            raise UnknownColumnError(
                where=where,
                what=f"{column!r}",
                rule="a column of the records",
                next_step=nearest(column, [str(c) for c in lines.columns]),
            )
        levels = [str(x) for x in ([wanted] if isinstance(wanted, str) else list(wanted))]
        known = [str(x) for x in lines[column].dropna().unique()]
        for level in levels:
            if level not in known:
                raise UnknownLevelError(
                    where=f"{where}, {column}",
                    what=f"{level!r}",
                    rule="a level of the column",
                    next_step=nearest(level, known),
                )
        lines = lines[lines[column].astype(str).isin(levels)]
    if lines.empty:
        raise DesignError(
            where=where,
            what="no line is left to average over",
            rule="at least one line",
            next_step="choose levels that occur together",
        )
    return lines


def ask(
    model: TakeModel,
    by: str | Sequence[str] | None,
    within: str | Sequence[str] | None,
    at: Mapping[str, str] | None,
    over: Mapping[str, Any] | None,
    weights: str,
) -> Question:
    """Check what is asked and gather the lines that are averaged over.

    Raises
    ------
    UnknownColumnError, UnknownLevelError, DesignError, CountsError
    """
    if weights not in ("grafts", "trays"):
        raise CountsError(
            where="weights",
            what=f"{weights!r}",
            rule="grafts (of 100 grafts made like these) or trays (every tray counts once)",
            next_step="choose one of these",
        )
    asked, inside = names(by), names(within)
    _check(model, asked, "by")
    _check(model, inside, "within")
    _check(model, list(at or {}), "at")
    lines = _chosen(model.lines, over, "over")
    weight = lines["tried" if weights == "grafts" else "weight"].astype(float)
    base = lines[list(model.factors)].astype(str).assign(**{WEIGHT: weight.to_numpy()})
    for column, level in (at or {}).items():
        known = model.levels(column)
        if str(level) not in known:
            raise UnknownLevelError(
                where=f"at, {column}",
                what=f"{level!r}",
                rule="a level of the column",
                next_step=nearest(str(level), known),
            )
        base[column] = str(level)
    if model.factors:
        base = base.groupby(list(model.factors), sort=False)[[WEIGHT]].sum().reset_index()
    else:
        base = DataFrame({WEIGHT: [float(base[WEIGHT].sum())]})
    return Question(by=asked, within=inside, base=base)


def level_sets(model: TakeModel, columns: Sequence[str]) -> list[Levels]:
    """Combinations of levels that have trays, in the order of the records."""
    if not columns:
        return [()]
    frame = model.lines[list(columns)].astype(str)
    seen = {tuple(row) for row in frame.itertuples(index=False)}
    every = product(*(list(dict.fromkeys(frame[column])) for column in columns))
    return [levels for levels in every if levels in seen]


def population(question: Question, levels: Levels, inside: Levels = ()) -> DataFrame:
    """The lines averaged over, every one of them set to these levels."""
    base = question.base
    for column, level in zip(question.within, inside, strict=False):
        if column not in question.by:
            base = base.assign(**{column: level})
    for column, level in zip(question.by, levels, strict=True):
        base = base.assign(**{column: level})
    return base


def _supported(model: TakeModel, patterns: DataFrame) -> np.ndarray[Any, Any]:
    """Which rows of a population the records can speak of."""
    lacking = set(model.belief.missing(patterns))
    columns = list(model.factors)
    said = [", ".join(map(str, row)) for row in patterns[columns].itertuples(index=False)]
    return np.array([text not in lacking for text in said])


def comparable(
    model: TakeModel, populations: Sequence[DataFrame]
) -> tuple[list[DataFrame], list[str]]:
    """Keep the strata that every population has trays in; name the empty cells.

    Returns
    -------
    populations : list of DataFrame
        Empty frames when no stratum is shared.
    lacking : list of str
        The cells without trays.
    """
    if not model.factors:
        return list(populations), []
    keep = np.ones(len(populations[0]), dtype=bool)
    lacking: list[str] = []
    for patterns in populations:
        lacking.extend(text for text in model.belief.missing(patterns) if text not in lacking)
        keep &= _supported(model, patterns)
    return [patterns[keep] for patterns in populations], lacking


def own_lines(model: TakeModel, columns: Sequence[str], levels: Levels) -> DataFrame:
    """Lines of a level itself: the raw counts."""
    lines = model.lines
    for column, level in zip(columns, levels, strict=True):
        lines = lines[lines[column].astype(str) == level]
    return lines
