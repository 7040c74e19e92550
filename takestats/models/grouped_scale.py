"""On what log-odds grid are groups of trays worked out, and how is a normal layer laid over it?

One even grid serves the take of a group's middle tray, the middle of all groups
and a tray's own effect, so that every layer is one product with one matrix.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import averaged_logit, cubic_cells

Floats = NDArray[np.float64]

# Under this many steps a normal curve is not sampled but matched by three points.
_SAMPLED = 0.8
_WIDEST = 8.0
_SPREADS = 65
_APART = _WIDEST / (_SPREADS - 1)
_MARGIN = 2
HALF_PI = float(np.pi / 2.0)


@dataclass(frozen=True)
class LogitGrid:
    """Equal cells of the log odds.

    Parameters
    ----------
    first, size : int
        The first middle in steps, and how many there are.
    step : float
    """

    first: int
    size: int
    step: float

    @property
    def middles(self) -> Floats:
        """Middle of each cell."""
        return np.asarray((self.first + np.arange(self.size)) * self.step)

    @property
    def edges(self) -> Floats:
        """Edges of the cells."""
        return np.asarray((self.first - 0.5 + np.arange(self.size + 1)) * self.step)


@lru_cache(maxsize=32)
def layer(grid: LogitGrid, spread: float, start: int, stop: int) -> Floats:
    """Mass of a normal layer in each cell, for each middle ``start`` to ``stop``.

    Parameters
    ----------
    grid : LogitGrid
    spread : float
        Standard deviation on the logit scale.
    start, stop : int
        The middles: cells of the grid.

    Returns
    -------
    ndarray of shape (cells, middles)
        Columns sum to 1; what lies beyond the grid is in its end cells.

    Notes
    -----
    Trapezoid sums of what is at least 1.3 steps wide: the error is below 1e-6.
    A layer narrower than .8 steps is three points with its variance.
    """
    steps = spread / grid.step
    centre = np.arange(start, stop)
    away = np.arange(grid.size)[:, None] - centre
    if steps < _SAMPLED:
        side = 0.5 * steps * steps
        mass = np.where(away == 0, 1.0 - 2.0 * side, np.where(np.abs(away) == 1, side, 0.0))
    else:
        reach = np.arange(1 - grid.size, grid.size)
        curve = np.exp(-0.5 * (reach / steps) ** 2) / (steps * np.sqrt(2.0 * np.pi))
        mass = curve[away + grid.size - 1]
        mass[0] += special.ndtr((-0.5 - centre) / steps)
        mass[-1] += special.ndtr((centre - grid.size + 0.5) / steps)
    return np.ascontiguousarray(mass / mass.sum(axis=0))


@lru_cache(maxsize=64)
def _logit_curves(grid: LogitGrid) -> Floats:
    """Cubics along the spread, ``(edges, cells, 4)``; the same on either side of no spread."""
    places = np.abs(np.arange(-_MARGIN, _SPREADS + _MARGIN))
    spreads = np.arange(_SPREADS + _MARGIN, dtype=np.float64) * _APART
    return cubic_cells(averaged_logit(spreads, grid.edges).T[:, places])


def averaged_logits(grid: LogitGrid, spreads: Floats) -> Floats:
    """Logit of the take averaged over a spread, at the cells' edges; (spreads, edges)."""
    at = np.minimum(spreads, _WIDEST) / _APART
    cell = np.minimum(at.astype(np.int64), _SPREADS - 2)
    curves = _logit_curves(grid)
    first = np.arange(curves.shape[0])[:, None] * curves.shape[1]
    return np.ascontiguousarray(cubic(curves.reshape(-1, 4), first + cell, at - cell).T)


def prior_masses(grid: LogitGrid, spreads: Floats) -> Floats:
    """Mass of each cell when the averaged take has the prior Beta(1/2, 1/2); (spreads, cells)."""
    phi = np.arctan(np.exp(0.5 * averaged_logits(grid, spreads)))
    phi[:, 0], phi[:, -1] = 0.0, HALF_PI
    return np.diff(phi, axis=1) / HALF_PI
