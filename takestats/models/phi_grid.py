"""On what grid of takes is the tray model worked out?

``phi = asin sqrt(take)``: there the prior on a take, Beta(1/2, 1/2), is flat,
and 100 % is an ordinary end point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TOP = float(np.pi / 2.0)
USUAL_LOW = float(np.arcsin(np.sqrt(0.05)))
CELLS = 96


@dataclass(frozen=True)
class PhiGrid:
    """Equal cells of phi.

    Parameters
    ----------
    low, high : float
        Ends of the grid, inside 0 to pi / 2.
    cells : int
        How many.
    """

    low: float
    high: float
    cells: int

    @property
    def step(self) -> float:
        """Width of a cell."""
        return (self.high - self.low) / self.cells

    @property
    def middles(self) -> Floats:
        """Middle of each cell."""
        return np.asarray(self.low + (np.arange(self.cells) + 0.5) * self.step, dtype=np.float64)

    @property
    def edges(self) -> Floats:
        """Edges of the cells."""
        return np.asarray(self.low + np.arange(self.cells + 1) * self.step, dtype=np.float64)

    @property
    def takes(self) -> Floats:
        """The take in the middle of each cell."""
        return np.asarray(np.sin(self.middles) ** 2)


def edge_sums(mass: Floats) -> Floats:
    """Cumulative sums of cell masses at the cells' edges, last axis.

    Sums of midpoints carry the Euler-Maclaurin term (f' at the edge) / 24; f'
    vanishes at both ends of a grid by symmetry, or because nothing is there.
    """
    below = np.concatenate([np.zeros((*mass.shape[:-1], 1)), np.cumsum(mass, axis=-1)], axis=-1)
    below[..., 1:-1] += np.diff(mass, axis=-1) / 24.0
    return np.asarray(below)


def usual_grid(cells: int = CELLS) -> PhiGrid:
    """Takes of 5 to 100 %: where grafts live."""
    return PhiGrid(USUAL_LOW, TOP, cells)


def whole_grid(cells: int = CELLS) -> PhiGrid:
    """Takes of 0 to 100 %, cells as wide as on the usual grid."""
    return PhiGrid(0.0, TOP, int(np.ceil(cells * TOP / (TOP - USUAL_LOW))))


def zoomed_grid(low: float, high: float, cells: int = CELLS) -> PhiGrid:
    """Takes between two values of phi only, for levels with many grafts."""
    return PhiGrid(max(0.0, low), min(TOP, high), cells)
