"""Along a caliper or through the season, where is the take best?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.population import ask, level_sets
from takestats.errors import CountsError, UnknownColumnError
from takestats.interval import check_level
from takestats.models.lines import nearest
from takestats.models.result import TableResult
from takestats.models.sampled_belief import SampledBelief
from takestats.models.take_model import TakeModel
from takestats.models.weighted import even_places, weighted_quantile
from takestats.wording import curves as words

Floats = NDArray[np.float64]

POINTS = 25
_KEPT = 2048
_LIKELY, _SURE, _POSSIBLE = 0.5, 0.9, 0.1


@dataclass(frozen=True, eq=False, kw_only=True)
class CurveWindow(TableResult):
    """Where a curve lies close to its best.

    Parameters
    ----------
    within : float
        How close, as a proportion.
    """

    within: float


@dataclass(frozen=True, eq=False, kw_only=True)
class TakeCurve(TableResult):
    """A take along a number, with its band.

    Parameters
    ----------
    over : str
    by : tuple of str
    level : float
    """

    over: str
    by: tuple[str, ...]
    level: float
    _draws: dict[tuple[str, ...], Floats] = field(repr=False)
    _trays: DataFrame = field(repr=False)

    @property
    def trays(self) -> DataFrame:
        """Each tray's value and raw take: tray_id, the curve's column, raw_rate."""
        return self._trays.copy()

    def window(self, within: float = 0.05) -> CurveWindow:
        """Between which values is the take within so many points of its best?

        Parameters
        ----------
        within : float
            Proportion: 0.05 for 5 points.

        Returns
        -------
        CurveWindow
            The by columns, best_at, best_low, best_high (limits of where the
            best lies), low, high (more likely than not within), sure_low,
            sure_high (nine chances in ten; nan where no value is that sure),
            possible_low, possible_high (one chance in ten or more: outside of
            them more is lost with nine chances in ten).

        Raises
        ------
        CountsError
            When ``within`` is not between 0 and 1.
        """
        if not 0.0 < within < 1.0:
            raise CountsError(
                where="within",
                what=f"{within!r}",
                rule="a proportion between 0 and 1",
                next_step="write 0.05 for 5 points",
            )
        values = np.unique(self._table[self.over].to_numpy(dtype=float))
        rows: list[dict[str, Any]] = []
        for levels, draws in self._draws.items():
            best = draws.max(axis=1, keepdims=True)
            near = np.mean(draws >= best - within, axis=0)
            at = values[draws.argmax(axis=1)]
            row: dict[str, Any] = dict(zip(self.by, levels, strict=True))
            row["best_at"] = float(values[np.median(draws, axis=0).argmax()])
            row["best_low"], row["best_high"] = (float(q) for q in np.quantile(at, (0.025, 0.975)))
            for name, share in (("", _LIKELY), ("sure_", _SURE), ("possible_", _POSSIBLE)):
                inside = values[near >= share]
                row[f"{name}low"] = float(inside.min()) if inside.size else float("nan")
                row[f"{name}high"] = float(inside.max()) if inside.size else float("nan")
            rows.append(row)
        names = [*self.by, "best_at", "best_low", "best_high", "low", "high"]
        names += ["sure_low", "sure_high", "possible_low", "possible_high"]
        ends = (float(values[0]), float(values[-1]))
        return CurveWindow(
            _table=DataFrame(rows, columns=names),
            notes=(words.window_note(within), *self.notes),
            sentences=words.window_sentences(rows, self.over, self.by, within, ends),
            within=within,
        )


def take_curve(
    model: TakeModel,
    over: str,
    *,
    by: str | Sequence[str] | None = None,
    at: Mapping[str, str] | None = None,
    level: float = 0.95,
) -> TakeCurve:
    """How does the take run along a caliper, a ratio or the days of the season?

    Parameters
    ----------
    model : TakeModel
    over : str
        A curve of the model.
    by : str or list of str, optional
        One curve for each level of these factors.
    at : mapping of str to str, optional
        Factors held at one level.
    level : float
        Confidence level of the band, point by point.

    Returns
    -------
    TakeCurve
        The by columns, the curve's column, take_rate, low, high: 25 points
        between the 5 % and 95 % points of the values, nowhere else.

    Raises
    ------
    UnknownColumnError
        When ``over`` is no curve of the model.
    UnknownLevelError, CountsError

    Notes
    -----
    At each point every line of the fit is set to that value, all else as it
    was. The band holds at each point by itself, not for the whole curve.

    References
    ----------
    Harrell 2001, Regression Modeling Strategies, section 2.4.5 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> days = [0, 7, 14, 21, 28, 35, 42, 49]
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 8, "tray": list("ABCDEFGH"), "warmth": days,
    ...     "grafted": [40] * 8, "taken": [30, 34, 37, 38, 38, 36, 33, 28]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), [], curves=["warmth"])
    >>> curve = ts.take_curve(model, "warmth")
    >>> 15 < float(curve.window().table.loc[0, "best_at"]) < 30
    True
    """
    check_level(level)
    belief = model.belief
    if over not in model.curves or not isinstance(belief, SampledBelief):
        raise UnknownColumnError(
            where="over",
            what=f"{over!r}",
            rule="a curve of this model",
            next_step=nearest(over, list(model.curves))
            + "; fit again with it among the curves (four distinct values or more)",
        )
    question = ask(model, by, None, at, None, "grafts")
    shape = next(curve for curve in model.design.curves if curve.name == over)
    values = np.linspace(shape.low, shape.high, POINTS)
    tail = (1.0 - level) / 2.0
    rows: list[dict[str, Any]] = []
    kept: dict[tuple[str, ...], Floats] = {}
    for levels in level_sets(model, question.by):
        named: dict[str, str | float] = dict(zip(question.by, levels, strict=True))
        populations = [question.base.set_to(named | {over: float(value)}) for value in values]
        takes, weights = belief.takes(populations), belief.weights
        kept[levels] = takes[even_places(weights, _KEPT)]
        for index, value in enumerate(values):
            low, middle, high = weighted_quantile(takes[:, index], weights, (tail, 0.5, 1 - tail))
            rows.append(named | {over: float(value), "take_rate": middle, "low": low, "high": high})
    lines = model.lines
    trays = lines[["tray_id", *question.by, over]].assign(
        raw_rate=lines["taken"].astype(float) / lines["tried"].astype(float)
    )
    return TakeCurve(
        _table=DataFrame(rows, columns=[*question.by, over, "take_rate", "low", "high"]),
        notes=(words.curve_note(over, shape.low, shape.high, level), *model.notes),
        sentences=words.curve_sentences(rows, over, question.by, POINTS),
        over=over,
        by=question.by,
        level=level,
        _draws=kept,
        _trays=trays,
    )
