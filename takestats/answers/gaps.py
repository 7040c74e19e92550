"""Which of two does better, and by how much?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.pairs import ComparedPair, Pairs, compared_pairs
from takestats.answers.population import Weights, ask
from takestats.answers.raw import counted, quick_of
from takestats.errors import CountsError, DesignError
from takestats.interval import check_level
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.models.two_counts import square_and_add
from takestats.wording import answers as words


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


def raw_difference(model: TakeModel, pair: ComparedPair, level: float) -> dict[str, Any]:
    """Counts of both levels, and the difference of their raw rates by the quick closed form."""
    quick = quick_of(model.arrays, pair.own, trays_recorded=model.trays_recorded)
    rate_a, low_a, high_a = quick.limits(0, level)
    rate_b, low_b, high_b = quick.limits(1, level)
    low, high = square_and_add(rate_a, (low_a, high_a), rate_b, (low_b, high_b))
    count_a, count_b = (
        counted(model.arrays, lines, trays_recorded=model.trays_recorded) for lines in pair.own
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


def nothing_to_compare(by: Sequence[str], lacking: Sequence[str]) -> DesignError:
    """Say that no pair of levels can be compared, and why."""
    return DesignError(
        where=f"differences, {', '.join(by)}",
        what=("not estimable here: no trays of " + "; ".join(lacking))
        if lacking
        else "there are no two levels to compare",
        rule="a difference needs two levels with trays at the same levels of the other factors",
        next_step="compare levels that occur together, or fit fewer factors",
    )


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
    found, lacking = compared_pairs(model, question, pairs)
    rows: list[dict[str, Any]] = []
    for pair in found:
        gap = model.belief.difference(*pair.populations, level)
        rows.append(
            pair.names
            | {
                "difference": gap.estimate,
                "low": gap.low,
                "high": gap.high,
                "p_value": gap.p_value,
            }
            | raw_difference(model, pair, level)
        )
    if not rows:
        raise nothing_to_compare(question.by, lacking)
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
