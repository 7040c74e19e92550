"""The curves of one family at chosen spread values, ready to be looked up.

One row per spread value and distinct pair of counts; a level of the first factor
may have spread values of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.sampled_families import (
    STEP,
    Family,
    cubic_cells,
    eta_grid,
    log_information_curve,
    log_likelihood,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]


@dataclass(frozen=True, eq=False, kw_only=True)
class Tables:
    """Cubic tables of the log likelihood and of the information of one graft.

    Parameters
    ----------
    low : float
        First log odds of the first cell.
    cells : int
        Cells per row.
    likelihood : numpy.ndarray
        ``(spread values x pairs x cells, 4)``.
    information : numpy.ndarray or None
        ``(spread values x levels x cells, 4)``; None where it is m (1 - m).
    pairs, levels : int
        Distinct pairs of counts, levels with spreads of their own.
    """

    low: float
    cells: int
    likelihood: FloatArray
    information: FloatArray | None
    pairs: int
    levels: int

    def place(self, eta: FloatArray) -> tuple[IntArray, FloatArray]:
        """Cell and place within the cell of each log odds; outside ones sit at the edge."""
        at = (eta - self.low) * (1.0 / STEP)
        np.clip(at, 0.0, self.cells - 1e-9, out=at)
        cell = at.astype(np.intp)
        at -= cell
        return cell, at


def make_tables(
    lines: Lines, levels: IntArray, family: Family, spread: FloatArray, low: float, high: float
) -> Tables:
    """Tabulate a family.

    Parameters
    ----------
    lines : Lines
        Merged lines.
    levels : numpy.ndarray
        For each distinct pair of counts, the row of ``spread`` it uses.
    family : str
    spread : numpy.ndarray
        ``(levels, values)``.
    low, high : float
        Range of log odds wanted.
    """
    grid = eta_grid(low, high)
    rows, values = spread.shape
    cells = grid.size - 5
    likelihood = np.empty((values, lines.cell_taken.size, cells, 4))
    information = np.empty((values, rows, cells, 4)) if family == "logit-normal" else None
    block = max(1, int(2e6 / (lines.cell_taken.size * grid.size)))
    for row in range(rows):
        own = np.flatnonzero(levels == row)
        if own.size == 0:
            continue
        k, n = lines.cell_taken[own], lines.cell_tried[own]
        everyone = own.size == lines.cell_taken.size
        for start in range(0, values, block):
            some = slice(start, start + block)
            cubes = cubic_cells(log_likelihood(family, spread[row, some], k, n, grid))
            if everyone:
                likelihood[some] = cubes
            else:
                likelihood[some, own] = cubes
        if information is not None:
            information[:, row] = cubic_cells(log_information_curve(family, spread[row], grid))
    return Tables(
        low=float(grid[2]),
        cells=cells,
        likelihood=likelihood.reshape(-1, 4),
        information=None if information is None else information.reshape(-1, 4),
        pairs=int(lines.cell_taken.size),
        levels=rows,
    )
