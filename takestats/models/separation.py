"""Do full or empty lines leave a coefficient without a finite estimate?

Decided from the counts, before any library is asked: libraries answer such data
with large numbers and no warning.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]

_TINY = 1e-7


def unbounded_direction(taken: ArrayLike, tried: ArrayLike, design: ArrayLike) -> FloatArray | None:
    """In which direction can the coefficients grow without the counts objecting?

    Parameters
    ----------
    taken, tried : array_like of shape (lines,)
    design : array_like of shape (lines, coefficients)

    Returns
    -------
    numpy.ndarray or None
        A direction that raises the log odds of lines where every graft took,
        lowers it where none took, and leaves all others alone; None when there
        is none, so that the binomial likelihood has a finite peak.

    Notes
    -----
    A linear program: maximise the sum of those rises and falls within a box. It
    is positive exactly when the data are separated, wholly or in part.

    References
    ----------
    Albert & Anderson 1984, Biometrika 71:1-10 (separation); the linear program
    after Konis 2007, DPhil thesis, University of Oxford. Both from memory.

    Examples
    --------
    >>> unbounded_direction([9, 7], [10, 10], [[1, 0], [1, 1]]) is None
    True
    >>> unbounded_direction([10, 7], [10, 10], [[1, 0], [1, 1]]).tolist()
    [1.0, -1.0]
    """
    k = np.asarray(taken, dtype=float).ravel()
    n = np.asarray(tried, dtype=float).ravel()
    x = np.asarray(design, dtype=float)
    x = x[n > 0] / np.maximum(np.abs(x).max(axis=0), 1e-300)
    k, n = k[n > 0], n[n > 0]
    rows, first = np.unique(x, axis=0, return_inverse=True)
    groups = first.ravel()
    k = np.bincount(groups, weights=k)
    n = np.bincount(groups, weights=n)
    full, empty = k == n, k == 0
    free = full | empty
    if not free.any():
        return None
    from scipy.optimize import linprog  # slow to load, and seldom needed

    signed = np.where(full[free], 1.0, -1.0)[:, None] * rows[free]
    found = linprog(
        -signed.sum(axis=0),
        A_ub=-signed,
        b_ub=np.zeros(signed.shape[0]),
        A_eq=rows[~free] if (~free).any() else None,
        b_eq=np.zeros(int((~free).sum())) if (~free).any() else None,
        bounds=[(-1.0, 1.0)] * x.shape[1],
        method="highs",
    )
    if found.x is None or found.fun is None or -found.fun <= _TINY:
        return None
    scale = np.maximum(np.abs(np.asarray(design, dtype=float)).max(axis=0), 1e-300)
    direction: FloatArray = np.asarray(found.x, dtype=float) / scale
    return direction + 0.0
