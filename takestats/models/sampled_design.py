"""Which lines and which columns does a fit rest on, whatever their coding and order?

Lines that say the same are one line with a multiplicity. The coefficients are
moved to the log odds of a few lines of the records, picked by a rule that does
not look at the coding; so the same records coded another way, or read in
another order, meet the same draws.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from takestats.errors import CountsError, DesignError
from takestats.models.sampled_prior import CoefficientPrior, coefficient_prior
from takestats.models.sampled_rank import check_full_rank
from takestats.wording.numbers import plain

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_WHERE = "the lines of the fit"
#: From here on peaks are near normal, and looks at them are what takes time.
MANY_LINES, MANY_COEFFICIENTS = 400, 2


@dataclass(frozen=True, eq=False, kw_only=True)
class Lines:
    """Merged lines of a fit, in an order that does not depend on the coding.

    Parameters
    ----------
    taken, tried, weight : numpy.ndarray
        Takes, grafts and multiplicity, one entry per merged line.
    group : numpy.ndarray
        Index of the level whose spread the line has (0 when there are none).
    group_trays : numpy.ndarray
        Trays of each level, multiplicities counted.
    basis : numpy.ndarray
        Lines x coefficients: the design in the log odds of the chosen lines.
    to_coefficients : numpy.ndarray
        ``coefficients = to_coefficients @ chosen log odds``.
    cell : numpy.ndarray
        For each line, its row in ``cell_taken``, ``cell_tried``, ``cell_group``:
        the distinct pairs of counts within a level.
    """

    taken: FloatArray
    tried: FloatArray
    weight: FloatArray
    group: IntArray
    group_trays: FloatArray
    basis: FloatArray
    to_coefficients: FloatArray
    cell: IntArray
    cell_taken: FloatArray
    cell_tried: FloatArray
    cell_group: IntArray

    @property
    def size(self) -> int:
        """How many merged lines there are."""
        return int(self.taken.size)

    @property
    def coefficients(self) -> int:
        """How many coefficients the design has."""
        return int(self.basis.shape[1])

    @property
    def many(self) -> bool:
        """Whether lines and coefficients are so many that every peak is near normal."""
        return self.size > MANY_LINES and self.coefficients > MANY_COEFFICIENTS

    @cached_property
    def prior(self) -> CoefficientPrior:
        """The prior on the coefficients."""
        return coefficient_prior(self.basis, self.weight * self.tried, self.group)


def merge_lines(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    *,
    multiplicity: ArrayLike | None = None,
    spread_group: ArrayLike | None = None,
) -> Lines:
    """Bring the lines of a fit into one order and one coding.

    Parameters
    ----------
    taken, tried : array_like
        Takes out of grafts, one entry per tray line. Lines with no graft at
        risk say nothing and are left out.
    design : array_like
        Lines x coefficients, of full rank.
    multiplicity : array_like, optional
        How often each line stands in the records.
    spread_group : array_like, optional
        Index of the level of the first factor, 0, 1, ... per line.

    Returns
    -------
    Lines

    Raises
    ------
    CountsError
        Counts that are not whole, or more taken than tried.
    DesignError
        Shapes that do not match, or a design without full rank.

    Examples
    --------
    >>> lines = merge_lines([9, 9, 7], [10, 10, 10], [[1.0], [1.0], [1.0]])
    >>> lines.weight.tolist()
    [1.0, 2.0]
    """
    k = np.asarray(taken, dtype=float).ravel()
    n = np.asarray(tried, dtype=float).ravel()
    x = np.asarray(design, dtype=float)
    w = np.ones(k.size) if multiplicity is None else np.asarray(multiplicity, dtype=float).ravel()
    g = (
        np.zeros(k.size, dtype=np.intp)
        if spread_group is None
        else np.asarray(spread_group, dtype=np.intp).ravel()
    )
    _check_lines(k, n, x, w, g)
    kept = (n > 0) & (w > 0)
    if not kept.any():
        raise CountsError(
            where=_WHERE,
            what="no line has a graft at risk",
            rule="a take needs at least one graft that was counted",
            next_step="check the columns grafted, missing and taken",
        )
    groups = int(g.max()) + 1
    k, n, x, w, g = k[kept], n[kept], x[kept], w[kept], g[kept]
    check_full_rank(x)
    scale = np.abs(x).max(axis=0)
    key = np.column_stack([g, n, k, np.round(x / scale, 11)])
    _, first, inverse = np.unique(key, axis=0, return_index=True, return_inverse=True)
    weight = np.bincount(inverse.ravel(), weights=w).astype(np.float64)
    k, n, x, g = k[first], n[first], x[first], g[first]
    order = _order_free_of_coding(k, n, x, g, weight)
    k, n, x, g, weight = k[order], n[order], x[order], g[order], weight[order]
    chosen = _chosen_lines(x)
    to_coefficients = np.linalg.inv(x[chosen])
    cells, cell = np.unique(np.column_stack([g, n, k]), axis=0, return_inverse=True)
    return Lines(
        taken=k,
        tried=n,
        weight=weight,
        group=g,
        group_trays=np.bincount(g, weights=weight, minlength=groups).astype(np.float64),
        basis=x @ to_coefficients,
        to_coefficients=to_coefficients,
        cell=cell.ravel().astype(np.intp),
        cell_taken=cells[:, 2],
        cell_tried=cells[:, 1],
        cell_group=cells[:, 0].astype(np.intp),
    )


def _order_free_of_coding(
    k: FloatArray, n: FloatArray, x: FloatArray, g: IntArray, w: FloatArray
) -> IntArray:
    """Sort by counts, then by what the column space of the design makes of them."""
    q, _ = np.linalg.qr(x)
    seen = [np.einsum("ij,ij->i", q, q)]
    seen.extend(q @ (q.T @ v) for v in (k / n, n, w, k * k, n * k))
    keys = [np.round(v / (np.abs(v).max() + 1e-300), 8) for v in reversed(seen)]
    return np.lexsort([*keys, k, n, g])


def _chosen_lines(x: FloatArray) -> IntArray:
    """Pick as many lines as coefficients, far apart, by a rule free of the coding."""
    q, _ = np.linalg.qr(x)
    left = q.copy()
    chosen = []
    for _ in range(x.shape[1]):
        length = np.einsum("ij,ij->i", left, left)
        best = int(np.argmax(length >= length.max() * (1 - 1e-6)))
        chosen.append(best)
        direction = left[best] / np.sqrt(length[best])
        left = left - np.outer(left @ direction, direction)
    return np.array(chosen, dtype=np.intp)


def _check_lines(k: FloatArray, n: FloatArray, x: FloatArray, w: FloatArray, g: IntArray) -> None:
    if x.ndim != 2 or not (k.size == n.size == x.shape[0] == w.size == g.size) or k.size == 0:
        raise DesignError(
            where=_WHERE,
            what=f"{k.size} counts taken, {n.size} tried, a design of shape {x.shape}",
            rule="one line each of taken, tried, design, multiplicity and level",
            next_step="pass arrays of the same length, the design as lines x coefficients",
        )
    if not (np.isfinite(x).all() and np.isfinite(w).all() and (w >= 0).all() and (g >= 0).all()):
        raise DesignError(
            where=_WHERE,
            what="a blank or a number that is not finite",
            rule="every number of a line is known before it is fitted",
            next_step="leave lines with blanks out and say so",
        )
    whole = (k == np.round(k)) & (n == np.round(n)) & (k >= 0) & (k <= n)
    if not whole.all():
        at = int(np.argmin(whole))
        raise CountsError(
            where=f"line {at + 1}",
            what=f"{plain(k[at])} taken of {plain(n[at])}",
            rule="whole counts, and no more taken than tried",
            next_step="correct the counts of this line",
        )
