"""What do draws, even or weighted, say of a number? Median, limits, tail area."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from takestats.models.belief import Estimate, SpreadEstimate

Floats = NDArray[np.float64]


#: From so many draws on they are shared out into so many classes, and only the classes that hold
#: an answer are put in order: 65,536 draws in a tenth of the time.
_MANY, _CLASSES = 4_096, 4_096


def weighted_quantile(values: Floats, weights: Floats, shares: Sequence[float]) -> list[float]:
    """Smallest draw with at least this share of the weight at or below it."""
    scale = _scale(values) if values.size >= _MANY else 0.0
    if not scale:
        return _in_order(values, weights, np.asarray(shares) * weights.sum())
    of_draw = ((values - values.min()) * scale).astype(np.intp)
    below = np.cumsum(np.bincount(of_draw, weights))
    found = []
    for wanted in (np.asarray(shares) * below[-1]).tolist():
        place = int(np.searchsorted(below, wanted, side="left"))
        mine = np.flatnonzero(of_draw == place)
        before = below[place - 1] if place else 0.0
        found += _in_order(values[mine], weights[mine], np.array([wanted - before]))
    return found


def _scale(values: Floats) -> float:
    """Classes per unit; 0 where the draws span nothing, or more than can be told in numbers."""
    span = float(values.max()) - float(values.min())
    scale = _CLASSES / span if span > 0.0 else 0.0
    return scale if scale < np.inf else 0.0


def _in_order(values: Floats, weights: Floats, wanted: Floats) -> list[float]:
    """Smallest draw with at least this weight at or below it; all of them put in order."""
    order = np.argsort(values, kind="stable")
    ordered = values[order]
    places = np.searchsorted(np.cumsum(weights[order]), wanted, side="left")
    return [float(ordered[min(place, ordered.size - 1)]) for place in places.tolist()]


def weighted_estimate(values: Floats, weights: Floats, level: float) -> Estimate:
    """Median, limits and two-sided tail area of zero.

    The tail area is never below one over the effective number of draws, and
    is below .05 exactly when the 95 % limits exclude zero.
    """
    tail = (1.0 - level) / 2.0
    low, middle, high = weighted_quantile(values, weights, (tail, 0.5, 1.0 - tail))
    total = float(weights.sum())
    below = float(weights[values < 0.0].sum() + 0.5 * weights[values == 0.0].sum()) / total
    effective = total**2 / float(np.sum(weights**2))
    p_value = max(2.0 * min(below, 1.0 - below), 1.0 / effective)
    return Estimate(estimate=middle, low=low, high=high, p_value=min(1.0, p_value))


def even_estimate(values: Floats, level: float) -> Estimate:
    """:func:`weighted_estimate` of draws that all weigh the same."""
    return weighted_estimate(values, np.ones(values.size), level)


def weighted_spread(values: Floats, weights: Floats, level: float) -> SpreadEstimate:
    """Median and limits of a spread."""
    tail = (1.0 - level) / 2.0
    low, middle, high = weighted_quantile(values, weights, (tail, 0.5, 1.0 - tail))
    return SpreadEstimate(estimate=middle, low=low, high=high)


def even_places(weights: Floats, many: int) -> NDArray[np.intp]:
    """Places of so many even draws: one per step of the cumulative weight."""
    below = np.cumsum(weights) / weights.sum()
    at = np.searchsorted(below, (np.arange(many) + 0.5) / many)
    return np.minimum(at, weights.size - 1).astype(np.intp)
