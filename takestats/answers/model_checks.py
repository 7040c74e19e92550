"""Does the model fit these trays, and what can it not know?"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame
from scipy import special

from takestats.answers.check_layers import layer_checks
from takestats.answers.confounding import Confounding, confounding
from takestats.answers.odd_trays import OddTrays, odd_trays
from takestats.models.kolmogorov import chance_of_gap, largest_gap
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import checks as words

Floats = NDArray[np.float64]

_RARE = 0.01
_THIRDS = 3


@dataclass(frozen=True, eq=False, kw_only=True)
class ModelChecks(TableResult):
    """What a look at the trays says of the model; every check ends in a sentence.

    Parameters
    ----------
    odd : OddTrays
    confounded : Confounding
    """

    odd: OddTrays
    confounded: Confounding
    _residuals: DataFrame = field(repr=False)

    @property
    def residuals(self) -> DataFrame:
        """Randomised quantile residual of each line: tray_id, residual."""
        return self._residuals.copy()


def residuals(model: TakeModel) -> Floats:
    """Randomised quantile residuals, standard normal where the model fits.

    One per line; nan where no trays were recorded. Each tray is predicted
    without its own count; the random part has the model's seed.
    """
    lines = model.arrays.tray.size
    if not model.tray_tails:
        return np.full(lines, np.nan)
    jitter = np.random.default_rng(model.seed).random(lines)
    lower, at, _ = np.array(model.tray_tails).T
    below = lower + jitter * at
    return np.asarray(special.ndtri(np.clip(below, 1e-6, 1.0 - 1e-6)))


def model_checks(model: TakeModel) -> ModelChecks:
    """Does the model fit these trays, and what moved together?

    Parameters
    ----------
    model : TakeModel

    Returns
    -------
    ModelChecks
        check, about, value, chance: one row per check. ``residuals``,
        ``odd`` and ``confounded`` hold what is behind them.

    Raises
    ------
    TakeError
        None of its own: every fitted model can be checked. Where trays were not recorded
        there is no scatter to look at, and its words say so.

    Notes
    -----
    Scatter: Kolmogorov-Smirnov test of the residuals against the standard
    normal. Spread: their standard deviation, chance by chi-square. Curve
    misfit: the largest mean residual among thirds of the curve's values,
    chance adjusted for the three looks. Each layer: see
    :func:`takestats.answers.check_layers.layer_checks`. Every tray is predicted without its
    own count, so the residuals are nearly but not wholly independent; those of
    one block, or of rows of one tray, are alike by the model itself.

    References
    ----------
    Dunn & Smyth 1996, J Comput Graph Stat 5:236-244 (randomised quantile
    residuals).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 8, "tray": list("ABCDEFGH"),
    ...     "grafted": [40] * 8, "taken": [37, 38, 36, 39, 38, 37, 38, 8]})
    >>> checks = ts.model_checks(ts.fit_take(ts.records_from_frame(bench), []))
    >>> checks.odd.table["tray_id"].tolist()
    ['H']
    """
    found = residuals(model)
    rows: list[dict[str, Any]] = []
    sentences: list[str] = []
    if np.isnan(found).any():
        sentences.append(words.NO_TRAYS)
    else:
        gap = largest_gap(special.ndtr(found))
        by_chance = chance_of_gap(gap, len(found))
        rows.append(_row("scatter", "all trays", gap, by_chance))
        rows_of_trays = len(found) > model.trays
        sentences.append(
            words.scatter_sentence(len(found), by_chance, _RARE, "row" if rows_of_trays else "tray")
        )
        for curve in model.curves:
            value, chance = _misfit(found, model.arrays.columns[curve].astype(float))
            rows.append(_row("curve misfit", curve, value, chance))
            sentences.append(words.misfit_sentence(curve, chance, _RARE))
        for check in layer_checks(model, found):
            rows.append(_row(check.check, check.about, check.value, check.chance))
            sentences.append(check.sentence)
    odd = odd_trays(model)
    rows.append(_row("odd trays", "all trays", float(len(odd.table)), float("nan")))
    sentences.extend(odd.sentences)
    together = confounding(model)
    rows.append(_row("moved together", "levels", float(len(together.table)), float("nan")))
    sentences.extend(together.sentences)
    return ModelChecks(
        _table=DataFrame(rows, columns=["check", "about", "value", "chance"]),
        notes=(words.RESIDUAL_NOTE, *model.notes),
        sentences=tuple(sentences),
        odd=odd,
        confounded=together,
        _residuals=DataFrame({"tray_id": model.lines["tray_id"], "residual": found}),
    )


def _row(check: str, about: str, value: float, chance: float) -> dict[str, Any]:
    return {"check": check, "about": about, "value": value, "chance": chance}


def _misfit(found: Floats, values: Floats) -> tuple[float, float]:
    """Largest standardised mean residual among thirds of a curve, and its chance."""
    order = np.argsort(values, kind="stable")
    means = [
        float(part.mean() * np.sqrt(part.size))
        for part in np.array_split(found[order], _THIRDS)
        if part.size
    ]
    largest = max(means, key=abs)
    chance = min(1.0, len(means) * 2.0 * float(special.ndtr(-abs(largest))))
    return largest, chance
