"""Which of two does better, and by how much?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.population import (
    Levels,
    Weights,
    ask,
    comparable,
    level_sets,
    own_lines,
    population,
)
from takestats.answers.raw import counted, quick_of
from takestats.errors import CountsError, DesignError, UnknownLevelError
from takestats.interval import check_level
from takestats.models.lines import nearest
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.models.two_counts import square_and_add
from takestats.wording import answers as words

Pairs = Literal["all", "reference"] | Sequence[tuple[Any, Any]]


@dataclass(frozen=True, eq=False, kw_only=True)
class Differences(TableResult):
    """Differences of averaged takes, A minus B, with limits.

    Parameters
    ----------
    by : tuple of str
    level : float
    """

    by: tuple[str, ...]
    level: float


def holm(p_values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Adjust tail areas for having looked at several pairs.

    References
    ----------
    Holm 1979, Scand J Stat 6:65-70.

    Examples
    --------
    >>> [round(float(p), 3) for p in holm(np.array([0.04, 0.01, 0.03]))]
    [0.06, 0.03, 0.06]
    """
    order = np.argsort(p_values, kind="stable")
    steps = p_values[order] * np.arange(p_values.size, 0, -1)
    out = np.empty_like(p_values)
    out[order] = np.minimum(1.0, np.maximum.accumulate(steps))
    return out


def chosen_pairs(
    model: TakeModel, by: tuple[str, ...], sets: list[Levels], pairs: Pairs
) -> list[tuple[Levels, Levels]]:
    """Pairs of levels to compare.

    Raises
    ------
    UnknownLevelError, CountsError
    """
    if isinstance(pairs, str):
        if pairs == "all":
            return list(combinations(sets, 2))
        if pairs == "reference":
            base = tuple(model.reference[column] for column in by)
            return [(levels, base) for levels in sets if levels != base]
        raise CountsError(
            where="pairs",
            what=f"{pairs!r}",
            rule='"all", "reference" or a list of pairs of levels',
            next_step='use pairs="all"',
        )
    found = []
    for pair in pairs:
        both = [(x,) if isinstance(x, str) else tuple(map(str, x)) for x in pair]
        for levels in both:
            if levels not in sets:
                raise UnknownLevelError(
                    where=f"pairs, {', '.join(by)}",
                    what=f"{', '.join(levels)!r}",
                    rule="a level that has trays",
                    next_step=nearest(", ".join(levels), [", ".join(s) for s in sets]),
                )
        found.append((both[0], both[1]))
    return found


def differences(
    model: TakeModel,
    by: str | Sequence[str],
    *,
    within: str | Sequence[str] | None = None,
    pairs: Pairs = "all",
    multiple: Literal["holm", "none"] = "holm",
    at: Mapping[str, str] | None = None,
    over: Mapping[str, Any] | None = None,
    weights: Weights = "grafts",
    level: float = 0.95,
) -> Differences:
    """By how many points does A do better than B, at the same mix of everything else?

    Parameters
    ----------
    model : TakeModel
    by : str or list of str
        The factor whose levels are compared, or several: their cells.
    within, at, over, weights, level
        As for :func:`takestats.take_rates`.
    pairs : "all", "reference" or list of pairs
        Which pairs; each is A minus B.
    multiple : {"holm", "none"}
        Adjustment of the tail areas over the pairs of this call.

    Returns
    -------
    Differences
        Columns: within, level_a, level_b, difference, low, high, p_value,
        p_adjusted, trays_a, trays_b, grafts_a, grafts_b, raw_difference,
        quick_low, quick_high. Proportions; A minus B.

    Raises
    ------
    UnknownColumnError, UnknownLevelError, CountsError
    DesignError
        When a pair shares no stratum of the other factors.

    Notes
    -----
    Posterior median and equal tails of the difference. ``p_value`` is twice
    the smaller posterior tail beyond zero: below .05 exactly when the 95 %
    interval excludes zero; its error rate was checked by simulation, see
    reports/. Limits are not adjusted for the number of pairs. Within-cell
    averaged: only strata in which both levels have trays are averaged over.

    References
    ----------
    Holm 1979, Scand J Stat 6:65-70.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 4, "tray": ["A", "B", "C", "D"],
    ...     "method": ["cleft", "cleft", "side veneer", "side veneer"],
    ...     "grafted": [40] * 4, "taken": [31, 36, 40, 40]})
    >>> gaps = ts.differences(ts.fit_take(ts.records_from_frame(bench), ["method"]), "method")
    >>> gaps.table.loc[0, ["level_a", "level_b"]].tolist()
    ['cleft', 'side veneer']
    """
    check_level(level)
    if multiple not in ("holm", "none"):
        raise CountsError(
            where="multiple",
            what=f"{multiple!r}",
            rule="holm or none",
            next_step='use multiple="holm"',
        )
    question = ask(model, by, within, at, over, weights)
    columns = [*question.within, *question.by]
    rows: list[dict[str, Any]] = []
    lacking: list[str] = []
    for inside in level_sets(model, question.within):
        sets = [s[len(inside) :] for s in level_sets(model, columns) if s[: len(inside)] == inside]
        for a, b in chosen_pairs(model, question.by, sets, pairs):
            shared, empty = comparable(
                model, question, [population(question, a, inside), population(question, b, inside)]
            )
            lacking.extend(text for text in empty if text not in lacking)
            if not shared[0].weights:
                continue
            found = model.belief.difference(shared[0], shared[1], level)
            own = [own_lines(model, columns, (*inside, *levels)) for levels in (a, b)]
            rows.append(
                dict(zip(question.within, inside, strict=True))
                | {
                    "level_a": ", ".join(a),
                    "level_b": ", ".join(b),
                    "difference": found.estimate,
                    "low": found.low,
                    "high": found.high,
                    "p_value": found.p_value,
                }
                | _raw(model, own, level)
            )
    if not rows:
        raise DesignError(
            where=f"differences, {', '.join(question.by)}",
            what=("not estimable here: no trays of " + "; ".join(lacking))
            if lacking
            else "there are no two levels to compare",
            rule="a difference needs two levels with trays at the same levels of the other factors",
            next_step="compare levels that occur together, or fit fewer factors",
        )
    p_values = np.array([row["p_value"] for row in rows])
    adjusted = holm(p_values) if multiple == "holm" else p_values
    for row, value in zip(rows, adjusted, strict=True):
        row["p_adjusted"] = float(value)
    names = [*question.within, "level_a", "level_b", "difference", "low", "high", "p_value"]
    names += ["p_adjusted", "trays_a", "trays_b", "grafts_a", "grafts_b", "raw_difference"]
    names += ["quick_low", "quick_high"]
    averaged = [f for f in model.factors if f not in columns and f not in (at or {})]
    return Differences(
        _table=DataFrame(rows, columns=names),
        notes=words.difference_notes(
            averaged, weights, level, lacking, multiple, len(rows), at, over
        )
        + model.notes,
        sentences=words.difference_sentences(rows, list(question.within), level),
        by=question.by,
        level=level,
    )


def _raw(model: TakeModel, own: list[NDArray[np.bool_]], level: float) -> dict[str, Any]:
    quick = quick_of(model.arrays, own, trays_recorded=model.trays_recorded)
    rate_a, low_a, high_a = quick.limits(0, level)
    rate_b, low_b, high_b = quick.limits(1, level)
    low, high = square_and_add(rate_a, (low_a, high_a), rate_b, (low_b, high_b))
    count_a, count_b = (
        counted(model.arrays, lines, trays_recorded=model.trays_recorded) for lines in own
    )
    return {
        "trays_a": count_a["trays"],
        "trays_b": count_b["trays"],
        "grafts_a": count_a["grafts"],
        "grafts_b": count_b["grafts"],
        "raw_difference": rate_a - rate_b,
        "quick_low": low,
        "quick_high": high,
    }
