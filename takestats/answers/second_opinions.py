"""What would other methods say of the same difference?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.answers.gaps import Pairs, chosen_pairs, differences
from takestats.answers.population import ask, level_sets, population
from takestats.errors import DesignError
from takestats.interval import check_level
from takestats.models.result import TableResult
from takestats.models.second_look import (
    Method,
    estimating_equations,
    no_answer,
    quasi_binomial,
)
from takestats.models.take_model import TakeModel
from takestats.models.wald import WaldFit
from takestats.models.wald_belief import WaldBelief
from takestats.wording import second_look as words

ANSWER = "answer"


@dataclass(frozen=True, eq=False, kw_only=True)
class SecondOpinions(TableResult):
    """Differences by other methods.

    Parameters
    ----------
    by : tuple of str
    """

    by: tuple[str, ...]


def reason_for_none(model: TakeModel, method: Method) -> str:
    """Why a second look has no answer for this model, from the counts; blank when it has one."""
    arrays = model.arrays
    cells: dict[str, Sequence[object]] = {
        name: arrays.columns[name].tolist() for name in model.factors
    }
    for names in model.design.interactions:
        if all(name in model.factors for name in names):
            cells[" by ".join(names)] = [", ".join(map(str, p)) for p in arrays.patterns(names)]
    matrix = model.design.matrix(arrays.patterns(model.design.columns))
    if not cells:
        cells = {"all": ["all grafts"] * arrays.tray.size}
    return no_answer(
        arrays.taken,
        arrays.tried,
        cells,
        matrix.shape[1],
        model.trays,
        design=matrix,
        method=method,
        tray_of=arrays.tray,
    )


def second_opinions(
    model: TakeModel, by: str | Sequence[str], *, pairs: Pairs = "all", level: float = 0.95
) -> SecondOpinions:
    """Would other methods, on the same trays, say the same of A minus B?

    Parameters
    ----------
    model : TakeModel
    by : str or list of str
        The factor whose levels are compared.
    pairs : "all", "reference" or list of pairs
        As for :func:`takestats.differences`.
    level : float
        Confidence level.

    Returns
    -------
    SecondOpinions
        level_a, level_b, method ("quasi-binomial", "GEE, bias-reduced", "quick
        form"), difference, low, high, answer ("answer", or why there is none;
        the numbers are then nan). The quick form is of raw rates.

    Raises
    ------
    UnknownColumnError, DesignError, CountsError

    Notes
    -----
    Quasi-binomial regression and generalised estimating equations with the
    small-sample correction, the same design and the same averaging as the
    model; delta-method limits. Whether there is an answer is decided from the
    counts before either is computed.

    References
    ----------
    Mancl & DeRouen 2001, Biometrics 57:126-134.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 4, "tray": ["A", "B", "C", "D"],
    ...     "method": ["cleft", "cleft", "side veneer", "side veneer"],
    ...     "grafted": [40] * 4, "taken": [31, 36, 40, 40]})
    >>> look = ts.second_opinions(ts.fit_take(ts.records_from_frame(bench), ["method"]), "method")
    >>> look.table.loc[0, "answer"]
    'no answer: every graft of side veneer took'
    """
    check_level(level)
    question = ask(model, by, None, None, None, "grafts")
    chosen = chosen_pairs(model, question.by, level_sets(model, question.by), pairs)
    arrays = model.arrays
    patterns = arrays.patterns(model.design.columns)
    matrix = model.design.matrix(patterns)
    looks: list[tuple[str, Method, Callable[[], WaldFit]]] = [
        ("quasi-binomial", "quasi", lambda: quasi_binomial(arrays.taken, arrays.tried, matrix)),
        (
            "GEE, bias-reduced",
            "gee",
            lambda: estimating_equations(arrays.taken, arrays.tried, matrix, arrays.tray),
        ),
    ]
    rows: list[dict[str, Any]] = []
    fits = {name: _try(fit, reason_for_none(model, method)) for name, method, fit in looks}
    quick = differences(model, by, pairs=pairs, multiple="none", level=level).table
    for a, b in chosen:
        said = {"level_a": ", ".join(a), "level_b": ", ".join(b)}
        for name, (fit, reason) in fits.items():
            row: dict[str, Any] = said | {"method": name, "answer": reason}
            row |= {"difference": np.nan, "low": np.nan, "high": np.nan}
            if fit is not None:
                found = WaldBelief(fit, model.design).difference(
                    population(question, a), population(question, b), level
                )
                row |= {"difference": found.estimate, "low": found.low, "high": found.high}
            rows.append(row)
        mine = quick[(quick["level_a"] == said["level_a"]) & (quick["level_b"] == said["level_b"])]
        if len(mine):
            raw = mine.iloc[0]
            rows.append(
                said
                | {
                    "method": "quick form",
                    "difference": float(raw["raw_difference"]),
                    "low": float(raw["quick_low"]),
                    "high": float(raw["quick_high"]),
                    "answer": ANSWER,
                }
            )
    names = ["level_a", "level_b", "method", "difference", "low", "high", "answer"]
    return SecondOpinions(
        _table=DataFrame(rows, columns=names),
        notes=(words.opinion_note(question.by), *model.notes),
        sentences=words.opinion_sentences(rows),
        by=question.by,
    )


def _try(fit: Callable[[], WaldFit], why: str) -> tuple[WaldFit | None, str]:
    if why:
        return None, why
    try:
        found = fit()
    except DesignError as error:
        return None, f"no answer: {error.what}"
    if not np.all(np.isfinite(found.covariance)) or not np.all(np.isfinite(found.coefficients)):
        return None, "no answer: it gave no finite numbers"
    return found, ANSWER
