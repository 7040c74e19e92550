"""What would the exact grid say of thousands of one-arm trials at once?

As the batched two-arm grid, with one level: two families, one spread each.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from takestats.models.batched import BatchedPosterior, count_tables, histograms
from takestats.models.phi_grid import PhiGrid

Floats = NDArray[np.float64]


def one_arm_posterior(counts: NDArray[np.int64], tray_size: int, grid: PhiGrid) -> BatchedPosterior:
    """Fit many one-arm trials on the exact grid.

    Parameters
    ----------
    counts : ndarray of int, shape (trials, trays)
        Taken in each tray.
    tray_size : int
    grid : PhiGrid

    Returns
    -------
    BatchedPosterior
        The take is that of arm 0; the other arm is a single cell.
    """
    table, mass = count_tables(tray_size, grid)
    logs = (histograms(counts, tray_size + 1) @ table).reshape(-1, mass.size, grid.cells)
    logs += mass[:, None]
    logs -= logs.max(axis=(1, 2), keepdims=True)
    density = logs.astype(np.float32)
    np.exp(density, out=density)
    density = density.sum(axis=1, keepdims=True, dtype=np.float64)
    density /= density.sum(axis=2, keepdims=True)
    return BatchedPosterior(grid=grid, mass_a=density, mass_b=np.ones((density.shape[0], 1, 1)))
