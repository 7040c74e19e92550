"""What would other methods say of the same difference?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.answers.gaps import nothing_to_compare, raw_difference
from takestats.answers.pairs import Pairs, compared_pairs
from takestats.answers.population import ask
from takestats.errors import DesignError
from takestats.interval import check_level
from takestats.models.looks import look
from takestats.models.result import TableResult
from takestats.models.second_look import Method
from takestats.models.take_model import TakeModel
from takestats.models.wald import WaldFit
from takestats.models.wald_belief import WaldBelief
from takestats.wording import second_look as words

ANSWER = "answer"
LOOKS: tuple[tuple[str, Method], ...] = (("quasi-binomial", "quasi"), ("GEE, bias-reduced", "gee"))


@dataclass(frozen=True, eq=False, kw_only=True)
class SecondOpinions(TableResult):
    """Differences by other methods.

    Parameters
    ----------
    by : tuple of str
    """

    by: tuple[str, ...]


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
    model; delta-method limits. Where the model has a layer above the trays, the
    equations take its blocks or groups as their clusters. Whether there is an
    answer is decided from the counts before either is computed.

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
    found, lacking = compared_pairs(model, question, pairs)
    if not found:
        raise nothing_to_compare(question.by, lacking)
    fits = {name: _try(model, method) for name, method in LOOKS}
    rows: list[dict[str, Any]] = []
    for pair in found:
        for name, (fit, answer) in fits.items():
            row: dict[str, Any] = pair.names | {"method": name, "answer": answer}
            row |= {"difference": np.nan, "low": np.nan, "high": np.nan}
            if fit is not None:
                gap = WaldBelief(fit, model.design).difference(*pair.populations, level)
                row |= {"difference": gap.estimate, "low": gap.low, "high": gap.high}
            rows.append(row)
        raw = raw_difference(model, pair, level)
        rows.append(
            pair.names
            | {
                "method": "quick form",
                "difference": raw["raw_difference"],
                "low": raw["quick_low"],
                "high": raw["quick_high"],
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


def _try(model: TakeModel, method: Method) -> tuple[WaldFit | None, str]:
    """The fit, or why there is none."""
    arrays = model.arrays
    patterns = arrays.patterns(model.design.columns)
    cluster = np.unique(model.units, return_inverse=True)[1] if model.units else arrays.tray
    try:
        found = look(method, arrays.taken, arrays.tried, model.design, patterns, cluster)
    except DesignError as error:
        told = error.what
        return None, told if told.startswith("no answer") else f"no answer: {told}"
    if not np.all(np.isfinite(found.covariance)) or not np.all(np.isfinite(found.coefficients)):
        return None, "no answer: it gave no finite numbers"
    return found, ANSWER
