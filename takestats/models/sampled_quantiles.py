"""Which values do a given share of weighted draws lie below?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]


def weighted_quantiles(
    values: ArrayLike, weights: ArrayLike, probabilities: Sequence[float]
) -> FloatArray:
    """Quantiles of weighted draws, half of each draw's weight on either side of it.

    Parameters
    ----------
    values : array_like
        ``(draws,)`` or ``(draws, answers)``.
    weights : array_like
        ``(draws,)``.
    probabilities : sequence of float

    Returns
    -------
    numpy.ndarray
        ``(probabilities,)`` or ``(probabilities, answers)``.

    Examples
    --------
    >>> weighted_quantiles([1.0, 2.0, 3.0], [1.0, 1.0, 1.0], [0.5]).tolist()
    [2.0]
    """
    v = np.asarray(values, dtype=float)
    w = np.asarray(weights, dtype=float)
    columns = v[:, None] if v.ndim == 1 else v
    out = np.empty((len(probabilities), columns.shape[1]))
    for i, column in enumerate(columns.T):
        order = np.argsort(column, kind="stable")
        ranked = w[order]
        middle = np.cumsum(ranked) - 0.5 * ranked
        out[:, i] = np.interp(np.asarray(probabilities) * w.sum(), middle, column[order])
    return out[:, 0] if v.ndim == 1 else out
