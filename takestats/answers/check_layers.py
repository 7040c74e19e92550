"""Do blocks, groups and seasons, and the rows of one tray, scatter as the model expects?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import correlation_of_sigma
from takestats.models.grouped_belief import GroupedBelief
from takestats.models.layered_belief import LayeredBelief
from takestats.models.lines import as_level
from takestats.models.take_model import TakeModel
from takestats.models.weighted import weighted_spread
from takestats.records.derive import NOT_RECORDED
from takestats.wording import checks as words

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_RARE = 0.01
_FEWEST_GROUPS = 2
#: Layers that are looked at when they are recorded, in the model or not.
_LOOKED_AT = ("block", "season")


@dataclass(frozen=True, kw_only=True)
class LayerCheck:
    """One look at a layer.

    Parameters
    ----------
    check, about : str
    value : float
        In standard deviations: the largest standardised mean of a group, or how much more
        alike than expected the rows of a tray are.
    chance : float
        Two-sided, adjusted for the number of groups.
    sentence : str
    """

    check: str
    about: str
    value: float
    chance: float
    sentence: str


def layer_checks(model: TakeModel, residuals: Floats) -> list[LayerCheck]:
    """Is a block, a group or a season off, or are rows of one tray alike?

    Parameters
    ----------
    model : TakeModel
    residuals : ndarray of shape (lines,)
        From :func:`takestats.answers.model_checks.residuals`.

    Returns
    -------
    list of LayerCheck
        Groups of the model's own layer, of a recorded block and of several
        seasons: the group whose mean residual is furthest from 0, its chance
        times the number of groups. Rows of trays: the mean product of residuals
        of two rows of a tray.

    Notes
    -----
    Two residuals of one group correlate by ``r = a / (b + (1 - b) / n)``: ``a``
    the correlation of grafts of different trays of a group, ``b`` that of one
    tray (both at the middle of the spreads), n grafts a tray. With ``m`` trays the
    mean has the variance
    ``(1 + (m - 1) r) / m``; r is 0 for a layer that the model has not. The mean
    product of pairs of rows is held against r, its variance ``(1 + r^2)`` over
    the pairs, as for normal residuals; pairs of one tray count as independent.

    References
    ----------
    Variance of a product of two correlated normals: Craig 1936, Ann Math Stat
    7:1-15 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": "2026", "tray": [f"T{i}" for i in range(12)], "grafted": 40,
    ...     "block": ["A", "B", "C", "D"] * 3,
    ...     "taken": [30, 36, 39, 37, 31, 35, 38, 36, 29, 37, 38, 38]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), [])
    >>> [check.check for check in layer_checks(model, np.zeros(12))]
    ['group means']
    """
    found: list[LayerCheck] = []
    alike = _alike(model)
    _, tray = np.unique(model.lines["tray_id"].astype(str), return_inverse=True)
    in_trays = isinstance(model.belief, LayeredBelief) and model.belief.posterior.layer == "rows"
    layers: dict[str, list[str]] = {}
    if model.grouping and len(model.units) == residuals.size:
        layers[model.grouping] = list(model.units)
    for column in _LOOKED_AT:
        labels = _recorded(model, column)
        if column not in layers and column not in model.factors and labels:
            layers[column] = labels
    for column, units in layers.items():
        names, group = np.unique(np.array(units, dtype=str), return_inverse=True)
        if names.size < _FEWEST_GROUPS or names.size == residuals.size:
            continue
        mine = column == model.grouping
        which, value, chance = _furthest(residuals, group, alike if mine else 0.0)
        sentence = words.group_sentence(column, str(names[which]), value, chance, _RARE, in_it=mine)
        found.append(
            LayerCheck(
                check="group means", about=column, value=value, chance=chance, sentence=sentence
            )
        )
    if in_trays:
        value, chance, pairs = _rows_alike(residuals, tray, alike)
        if pairs:
            found.append(
                LayerCheck(
                    check="rows of a tray",
                    about="trays with several rows",
                    value=value,
                    chance=chance,
                    sentence=words.rows_sentence(pairs, value, chance, _RARE),
                )
            )
    return found


def _recorded(model: TakeModel, column: str) -> list[str]:
    """The column's labels, when no line is without one."""
    lines = model.lines
    if column not in lines.columns:
        return []
    labels = [as_level(value) for value in lines[column]]
    if any(label is None or label == NOT_RECORDED for label in labels):
        return []
    seasons = lines["season"].astype(str)
    if column != "season" and seasons.nunique() > 1:
        labels = [f"{season}, {label}" for season, label in zip(seasons, labels, strict=True)]
    return [str(label) for label in labels]


def _alike(model: TakeModel) -> float:
    """Correlation that the model gives to two residuals of one unit of its own layer.

    At the middle of its spreads and of the expected shares.
    """
    belief, arrays = model.belief, model.arrays
    found = belief.spread(None, 0.95)
    if found is None or not model.tray_tails:
        return 0.0
    rows = False
    if isinstance(belief, LayeredBelief) and belief.posterior.layer == "rows":
        rows = True
        spread = weighted_spread(*belief.posterior.spread_draws("tray"), 0.95).estimate
    elif isinstance(belief, LayeredBelief | GroupedBelief):
        spread = belief.between(0.95).estimate
    else:
        return 0.0
    expected = float(np.average([tail.expected for tail in model.tray_tails], weights=arrays.tried))
    middle = np.array(special.logit(np.clip(expected, 1e-6, 1.0 - 1e-6)))
    between = float(correlation_of_sigma(middle, np.array(spread)))
    total = max(found.estimate, between)
    if not rows:  # the intra-tray correlation of the model is that within a group
        total = between + (1.0 - between) * found.estimate
    grafts = float(arrays.tried.sum()) / arrays.tried.size
    return float(np.clip(between / (total + (1.0 - total) / grafts), 0.0, 1.0))


def _furthest(residuals: Floats, group: Ints, alike: float) -> tuple[int, float, float]:
    """The group whose standardised mean is furthest from 0, and its chance."""
    sizes = np.bincount(group).astype(float)
    means = np.bincount(group, residuals) / sizes
    scaled = means / np.sqrt((1.0 + (sizes - 1.0) * alike) / sizes)
    which = int(np.argmax(np.abs(scaled)))
    value = float(scaled[which])
    return which, value, min(1.0, sizes.size * 2.0 * float(special.ndtr(-abs(value))))


def _rows_alike(residuals: Floats, tray: Ints, alike: float) -> tuple[float, float, int]:
    """How far the mean product of two rows of a tray stands above the expected one."""
    sizes = np.bincount(tray).astype(float)
    sums, squares = np.bincount(tray, residuals), np.bincount(tray, residuals**2)
    pairs = float((sizes * (sizes - 1.0) / 2.0).sum())
    if pairs < 1.0:
        return 0.0, 1.0, 0
    product = float(((sums**2 - squares) / 2.0).sum()) / pairs
    value = (product - alike) / np.sqrt((1.0 + alike**2) / pairs)
    return float(value), min(1.0, 2.0 * float(special.ndtr(-abs(value)))), int(pairs)
