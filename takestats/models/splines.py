"""Along a number (a caliper, a date), what shape may the take have?

A restricted cubic spline: free to bend between its knots, straight beyond
them. Few values give a straight line, or none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FEWEST_FOR_A_CURVE = 4
FEWEST_FOR_A_BEND = 6
FEW_TRAYS = 15
KNOT_SHARES = {3: (0.10, 0.50, 0.90), 4: (0.05, 0.35, 0.65, 0.95)}
RANGE_SHARES = (0.05, 0.95)


@dataclass(frozen=True, kw_only=True)
class Curve:
    """The shape a curve may have.

    Parameters
    ----------
    name : str
        The column.
    knots : tuple of float
        Empty for a straight line.
    centre, scale : float
        The values are centred and scaled before anything else.
    low, high : float
        The 5 % and 95 % points of the values: no curve is drawn outside.
    """

    name: str
    knots: tuple[float, ...]
    centre: float
    scale: float
    low: float
    high: float

    @property
    def columns(self) -> int:
        """How many coefficients it takes."""
        return max(1, len(self.knots) - 1)

    def basis(self, values: ArrayLike) -> Floats:
        """The columns of the curve at these values, shape (values, columns)."""
        x = (np.asarray(values, dtype=float) - self.centre) / self.scale
        if not self.knots:
            return np.asarray(x[:, None])
        knots = (np.array(self.knots) - self.centre) / self.scale
        return np.column_stack([x, restricted_cubic(x, knots)])


def restricted_cubic(x: Floats, knots: Floats) -> Floats:
    """Bending columns of a restricted cubic spline, shape (values, knots - 2).

    Notes
    -----
    ``(x - t_j)+^3 - (x - t_{k-1})+^3 (t_k - t_j) / (t_k - t_{k-1})
    + (x - t_k)+^3 (t_{k-1} - t_j) / (t_k - t_{k-1})``, divided by
    ``(t_k - t_1)^2``: straight beyond the outer knots.

    References
    ----------
    Harrell 2001, Regression Modeling Strategies, section 2.4.5, eq. 2.25 (from
    memory); knots at the shares of his table 2.3 (from memory).

    Examples
    --------
    >>> restricted_cubic(np.array([0.0, 1.0, 3.0]), np.array([0.0, 1.0, 2.0])).round(3).tolist()
    [[0.0], [0.25], [3.0]]
    """
    last, before = knots[-1], knots[-2]

    def third(value: float) -> Floats:
        return np.asarray(np.maximum(x - value, 0.0) ** 3)

    columns = [
        third(knot)
        - third(before) * (last - knot) / (last - before)
        + third(last) * (before - knot) / (last - before)
        for knot in knots[:-2]
    ]
    return np.asarray(np.column_stack(columns) / (last - knots[0]) ** 2)


def is_curve(values: Sequence[float]) -> bool:
    """Whether a column has enough distinct values for a curve at all."""
    return len(set(values)) >= FEWEST_FOR_A_CURVE


def curve_through(name: str, values: ArrayLike, trays: int) -> Curve:
    """Choose the shape for a column: knots by the trays there are, a line where values are few.

    Parameters
    ----------
    name : str
    values : array_like of shape (lines,)
        At least four distinct values.
    trays : int
        How many trays the fit has.
    """
    x = np.asarray(values, dtype=float)
    knots: tuple[float, ...] = ()
    if np.unique(x).size >= FEWEST_FOR_A_BEND:
        shares = KNOT_SHARES[3 if trays < FEW_TRAYS else 4]
        found = np.quantile(x, shares)
        if np.all(np.diff(found) > 1e-9 * max(1.0, float(np.ptp(x)))):
            knots = tuple(float(value) for value in found)
    low, high = np.quantile(x, RANGE_SHARES)
    return Curve(
        name=name,
        knots=knots,
        centre=float(np.mean(x)),
        scale=float(np.std(x)) or 1.0,
        low=float(low),
        high=float(high),
    )
