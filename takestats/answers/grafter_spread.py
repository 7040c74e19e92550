"""How much do grafters differ, without ranking one?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pandas import DataFrame
from scipy import special

from takestats.answers.model_layer import model_layer
from takestats.answers.rates import take_rates
from takestats.errors import DesignError
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import grafters as words

GRAFTER = "grafter"


@dataclass(frozen=True, eq=False, kw_only=True)
class GrafterSpread(TableResult):
    """How far grafters lie from the middle of all of them: no grafter is named.

    Parameters
    ----------
    grafters : int
    level : float
    """

    grafters: int
    level: float


def grafter_spread(model: TakeModel, *, level: float = 0.95) -> GrafterSpread:
    """How many points do grafters lie apart, as a spread and not as a list?

    Parameters
    ----------
    model : TakeModel
        Fitted with ``grouping="grafter"``.
    level : float
        Confidence level.

    Returns
    -------
    GrafterSpread
        One row: grafters, trays, spread_points (about two thirds of grafters lie within so
        much of the middle, as a proportion), low, high. There is no table of grafters.

    Raises
    ------
    DesignError
        When the model has no such grouping (under three grafters there is none).

    Notes
    -----
    The spread between groups is a standard deviation in log odds; it is said in points at
    the take of all: half the distance between one such step up and one down. Two thirds:
    a normal spread, 68 %. Under five grafters it rests on an assumed range.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.grafter_spread import grafter_spread
    >>> bench = pd.DataFrame({
    ...     "season": "2025-26", "tray": [f"T{i}" for i in range(12)],
    ...     "grafter": ["A", "B", "C", "D"] * 3,
    ...     "grafted": 40, "taken": [31, 36, 38, 40, 33, 37, 39, 40, 30, 35, 39, 38]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), [], grouping="grafter")
    >>> grafter_spread(model).table.columns.tolist()
    ['grafters', 'trays', 'spread_points', 'low', 'high']
    """
    layer = model_layer(model, level=level)
    if layer is None or layer.column != GRAFTER:
        raise DesignError(
            where="grafter_spread",
            what="grafters are no grouping of this model",
            rule="a spread needs three grafters or more, as blocks above the trays",
            next_step='fit again with grouping="grafter"',
        )
    columns = ["standard_deviation", "low", "high"]
    between = layer.spread[columns].to_numpy(dtype=float)[0]
    overall = take_rates(model, None, level=level).table
    middle_take = overall["take_rate"].to_numpy(dtype=float)[0]
    take = float(np.clip(middle_take, 1e-9, 1.0 - 1e-9))
    middle = special.logit(take)
    spread, low, high = (
        float(value)
        for value in (special.expit(middle + between) - special.expit(middle - between)) / 2.0
    )
    number = len(set(model.units))
    table = DataFrame(
        [
            {
                "grafters": number,
                "trays": overall.loc[0, "trays"],
                "spread_points": spread,
                "low": low,
                "high": high,
            }
        ]
    )
    return GrafterSpread(
        _table=table,
        notes=(words.spread_note(take), *model.notes),
        sentences=(words.spread_words(number, spread, low, high, level),),
        grafters=number,
        level=level,
    )
