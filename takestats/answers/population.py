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
from numpy.typing import NDArray

from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.belief import Pattern, Population
from takestats.models.lines import as_level, nearest
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
    base : Population
        The lines averaged over.
    """

    by: tuple[str, ...]
    within: tuple[str, ...]
    base: Population


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


def _chosen(model: TakeModel, over: Mapping[str, Any]) -> NDArray[np.bool_]:
    """Which lines to average over."""
    lines = model.lines
    keep = np.ones(len(lines), dtype=bool)
    for column, wanted in over.items():
        if column not in lines.columns:
            raise UnknownColumnError(
                where="over",
                what=f"{column!r}",
                rule="a column of the records",
                next_step=nearest(column, [str(c) for c in lines.columns]),
            )
        levels = [str(x) for x in ([wanted] if isinstance(wanted, str) else list(wanted))]
        texts = np.array([as_level(value) for value in lines[column]], dtype=object)
        for level in levels:
            _check_level(level, [t for t in dict.fromkeys(texts) if t is not None], "over", column)
        keep &= np.isin(texts.astype(str), levels)
    if not keep.any():
        raise DesignError(
            where="over",
            what="no line is left to average over",
            rule="at least one line",
            next_step="choose levels that occur together",
        )
    return keep


def _check_level(level: str, known: list[str], where: str, column: str) -> None:
    if level not in known:
        raise UnknownLevelError(
            where=f"{where}, {column}",
            what=f"{level!r}",
            rule="a level of the column",
            next_step=nearest(level, known),
        )


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
    columns = (*model.factors, *model.curves)
    arrays = model.arrays
    keep = _chosen(model, over) if over else np.ones(arrays.tray.size, dtype=bool)
    weight = arrays.tried if weights == "grafts" else np.ones(arrays.tray.size)
    if len(model.seasons) > 1:
        # Several seasons: every season weighs 1.
        totals_by_season = np.bincount(arrays.season[keep], weight[keep], len(model.seasons))
        weight = weight / np.where(totals_by_season > 0, totals_by_season, 1.0)[arrays.season]
    totals: dict[Pattern, float] = {}
    for pattern, amount, used in zip(
        arrays.patterns(columns), weight.tolist(), keep.tolist(), strict=True
    ):
        if used:
            totals[pattern] = totals.get(pattern, 0.0) + amount
    base = Population(columns=columns, weights=totals)
    if at:
        for column, level in at.items():
            _check_level(str(level), model.levels(column), "at", column)
        base = base.set_to({column: str(level) for column, level in at.items()})
    return Question(by=asked, within=inside, base=base)


def level_sets(model: TakeModel, columns: Sequence[str]) -> list[Levels]:
    """Combinations of levels that have trays, in the order of the records."""
    if not columns:
        return [()]
    seen = set(model.arrays.patterns(columns))
    every = product(*(model.levels(column) for column in columns))
    return [levels for levels in every if levels in seen]


def levels_inside(model: TakeModel, question: Question, inside: Levels) -> list[Levels]:
    """Levels told apart that have trays inside these levels of the within columns."""
    sets = level_sets(model, [*question.within, *question.by])
    return [levels[len(inside) :] for levels in sets if levels[: len(inside)] == inside]


def population(question: Question, levels: Levels, inside: Levels = ()) -> Population:
    """The lines averaged over, every one of them set to these levels."""
    chosen: dict[str, str | float] = dict(zip(question.within, inside, strict=True))
    chosen |= dict(zip(question.by, levels, strict=True))
    return question.base.set_to(chosen)


def comparable(
    model: TakeModel, question: Question, populations: Sequence[Population]
) -> tuple[list[Population], list[str]]:
    """Keep the strata that every population has trays in; name the empty cells.

    Returns
    -------
    populations : list of Population
        Without weights when no stratum is shared.
    lacking : list of str
        The cells without trays.
    """
    lacking: list[str] = []
    bad: set[Pattern] = set()
    told_apart = (*question.within, *question.by)
    for item in populations:
        for pattern in model.belief.missing(item.weights):
            text = ", ".join(map(str, pattern))
            if text not in lacking:
                lacking.append(text)
            lone = Population(columns=item.columns, weights={pattern: 1.0})
            bad.update(lone.without(told_apart))
    if not bad:
        return list(populations), []
    kept = []
    for item in populations:
        good = {
            pattern: weight
            for pattern, weight in item.weights.items()
            if not bad
            & set(Population(columns=item.columns, weights={pattern: 1.0}).without(told_apart))
        }
        kept.append(Population(columns=item.columns, weights=good))
    return kept, sorted(lacking)


def own_lines(model: TakeModel, columns: Sequence[str], levels: Levels) -> NDArray[np.bool_]:
    """Which lines are the level's own: the raw counts."""
    return model.arrays.mask(columns, levels)
