"""How far apart may two trays lie that were treated alike?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import tray_map as words

Floats = NDArray[np.float64]

_WIDE = 0.9
_ENOUGH = 200_000


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayPairs(TableResult):
    """Two trays treated alike, as the model expects them."""


def tray_pairs(model: TakeModel) -> TrayPairs:
    """How far apart may two trays lie that were treated alike?

    Parameters
    ----------
    model : TakeModel

    Returns
    -------
    TrayPairs
        One row: poorer and better (the middle of the poorer and of the better take of two
        trays), apart (the middle of their distance), apart_wide (one pair in ten lies as far
        apart or further), trays. Proportions of many grafts: the luck of a few grafts comes on
        top. No row where no trays were recorded.

    Notes
    -----
    Two takes are drawn from the beta distribution of a tray, once for each draw of the
    posterior and each pattern of the fit, patterns weighted by their grafts; seed of the model.
    Logit-normal parts enter through their correlation. Two trays of one block, or two rows of
    one tray, are nearer to each other than this.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": "2026", "tray": list("ABCDEFGH"), "grafted": 40,
    ...     "taken": [37, 38, 20, 39, 28, 37, 38, 30]})
    >>> found = tray_pairs(ts.fit_take(ts.records_from_frame(bench), [])).table.iloc[0]
    >>> bool(0.6 < found["poorer"] < found["better"] < 1.0)
    True
    """
    columns = ["poorer", "better", "apart", "apart_wide", "trays"]
    place, draws = model.tray_draws if model.trays_recorded else ({}, None)
    if draws is None:
        return TrayPairs(
            _table=DataFrame(columns=columns, dtype=float),
            notes=model.notes,
            sentences=(words.NO_PAIRS,),
        )
    patterns = model.arrays.patterns(model.design.columns)
    grafts = np.zeros(len(place))
    np.add.at(grafts, [place[pattern] for pattern in patterns], model.arrays.tried)
    # Many lines say the same with fewer draws of each.
    some = slice(None, None, max(1, draws.takes.size // _ENOUGH))
    take = np.clip(draws.takes[some], 1e-9, 1.0 - 1e-9)
    correlation = np.clip(draws.correlations[some], 1e-6, 1.0 - 1e-6)
    size = (1.0 - correlation) / correlation
    random = np.random.default_rng(model.seed)
    first = random.beta(take * size, (1.0 - take) * size)
    second = random.beta(take * size, (1.0 - take) * size)
    weight = np.broadcast_to(grafts, take.shape)
    poorer, better = np.minimum(first, second), np.maximum(first, second)
    row = {
        "poorer": _quantile(poorer, weight, 0.5),
        "better": _quantile(better, weight, 0.5),
        "apart": _quantile(better - poorer, weight, 0.5),
        "apart_wide": _quantile(better - poorer, weight, _WIDE),
        "trays": model.trays,
    }
    return TrayPairs(
        _table=DataFrame([row], columns=columns),
        notes=(words.PAIRS_NOTE, *model.notes),
        sentences=(words.pairs_line(row["poorer"], row["better"], row["apart_wide"]),),
    )


def _quantile(values: Floats, weight: Floats, share: float) -> float:
    order = np.argsort(values, axis=None)
    mass = np.cumsum(weight.ravel()[order])
    found = np.searchsorted(mass, share * mass[-1])
    return float(values.ravel()[order][min(int(found), order.size - 1)])
