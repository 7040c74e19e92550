"""How many in a hundred take?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pandas import DataFrame

from takestats.answers.population import (
    Levels,
    Question,
    Weights,
    ask,
    comparable,
    level_sets,
    levels_inside,
    own_lines,
    population,
)
from takestats.answers.raw import all_or_none, counted, quick_of
from takestats.errors import DesignError
from takestats.interval import check_level
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import answers as words


@dataclass(frozen=True, eq=False, kw_only=True)
class TakeRates(TableResult):
    """Averaged takes with limits.

    Parameters
    ----------
    by : tuple of str
        The columns whose levels are told apart.
    level : float
    """

    by: tuple[str, ...]
    level: float


def take_rates(
    model: TakeModel,
    by: str | Sequence[str] | None,
    *,
    within: str | Sequence[str] | None = None,
    at: Mapping[str, str] | None = None,
    over: Mapping[str, Any] | None = None,
    weights: Weights = "grafts",
    level: float = 0.95,
) -> TakeRates:
    """Of 100 grafts made like these, how many take?

    Parameters
    ----------
    model : TakeModel
    by : str, list of str or None
        Whose levels: one factor, the cells of several, or None for all.
    within : str or list of str, optional
        Once for each level of these factors.
    at : mapping of str to str, optional
        Factors held at one level instead of averaged over.
    over : mapping of str to level or levels, optional
        Average over these lines only.
    weights : {"grafts", "trays"}
        What counts as one.
    level : float
        Confidence level.

    Returns
    -------
    TakeRates
        One row per level: the level column(s), take_rate, low, high, trays,
        grafts (both of the level's own trays), grafted, missing,
        understock_dead, taken, raw_rate (out of grafts made less missing),
        raw_rate_live (also less dead understock), raw_low, raw_high (quick
        closed form). Proportions.

    Raises
    ------
    UnknownColumnError, UnknownLevelError, CountsError
        For something the model does not have.
    DesignError
        When no level can be estimated at the same mix of the other factors.

    Notes
    -----
    Posterior median and equal tails. ``sum w m / sum w`` over all lines of the
    fit, every line with the factor set to the level. Strata in which some
    level has no trays are not averaged over, and named. Where every graft of a
    level took, its upper limit is 1; where none took, its lower limit is 0.

    References
    ----------
    Averaging predicted probabilities over the sample: Lane & Nelder 1982,
    Biometrics 38:613-621 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 4, "tray": ["A", "B", "C", "D"],
    ...     "method": ["cleft", "cleft", "side veneer", "side veneer"],
    ...     "grafted": [40] * 4, "taken": [31, 36, 40, 40]})
    >>> rates = ts.take_rates(ts.fit_take(ts.records_from_frame(bench), ["method"]), "method")
    >>> rates.table[["method", "trays", "high"]].to_dict("records")[1]
    {'method': 'side veneer', 'trays': 2, 'high': 1.0}
    """
    check_level(level)
    question = ask(model, by, within, at, over, weights)
    rows: list[dict[str, Any]] = []
    lacking: list[str] = []
    columns = [*question.within, *question.by]
    for inside in level_sets(model, question.within):
        found, empty = _rows(model, question, inside, level)
        rows.extend(found)
        lacking.extend(text for text in empty if text not in lacking)
    if not rows:
        raise DesignError(
            where="take_rates",
            what="not estimable here: no trays of " + "; ".join(lacking),
            rule="an empty cell is not averaged over",
            next_step="choose lines that all levels have with over=, or ask for the cells",
        )
    names = [*columns, "take_rate", "low", "high", "trays", "grafts", "grafted", "missing"]
    names += ["understock_dead", "taken", "raw_rate", "raw_rate_live", "raw_low", "raw_high"]
    averaged = [f for f in model.factors if f not in columns and f not in (at or {})]
    return TakeRates(
        _table=DataFrame(rows, columns=names),
        notes=words.rate_notes(averaged, weights, level, lacking, at, over) + model.notes,
        sentences=words.rate_sentences(rows, columns, level),
        by=question.by,
        level=level,
    )


def _rows(
    model: TakeModel, question: Question, inside: Levels, level: float
) -> tuple[list[dict[str, Any]], list[str]]:
    sets = levels_inside(model, question, inside)
    populations = [population(question, levels, inside) for levels in sets]
    shared, lacking = comparable(model, question, populations)
    if lacking and not shared[0].weights:
        # No stratum that all levels have: each level that has every stratum by itself.
        shared = [item for p in populations for item in comparable(model, question, [p])[0]]
        whole = [not model.belief.missing(p.weights) for p in populations]
    else:
        whole = [bool(item.weights) for item in shared]
    columns = [*question.within, *question.by]
    own = [own_lines(model, columns, (*inside, *levels)) for levels in sets]
    quick = quick_of(model.arrays, own, trays_recorded=model.trays_recorded)
    rows = []
    for index, (levels, averaged, lines) in enumerate(zip(sets, shared, own, strict=True)):
        if not whole[index]:
            continue
        found = model.belief.take(averaged, level)
        edge = all_or_none(model.arrays, lines)
        _, raw_low, raw_high = quick.limits(index, level)
        rows.append(
            dict(zip(columns, (*inside, *levels), strict=True))
            | {
                "take_rate": found.estimate,
                "low": 0.0 if edge == "none" else found.low,
                "high": 1.0 if edge == "all" else found.high,
                "raw_low": raw_low,
                "raw_high": raw_high,
            }
            | counted(model.arrays, lines, trays_recorded=model.trays_recorded)
        )
    return rows, lacking
