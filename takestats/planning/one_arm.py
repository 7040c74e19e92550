"""What would the exact grid say of thousands of one-arm trials at once?

As the batched two-arm grid, with one level: two families, one spread each.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from takestats.models.batched import BatchedPosterior
from takestats.models.likelihoods import likelihood_table
from takestats.models.phi_grid import PhiGrid
from takestats.models.spread import Family, standard_nodes

Floats = NDArray[np.float64]

_FAMILIES: tuple[Family, ...] = ("beta_binomial", "logit_normal")


@lru_cache(maxsize=32)
def _tables(tray_size: int, grid: PhiGrid) -> tuple[Floats, Floats]:
    """Log likelihood of every count (counts, nodes x cells) and log prior mass of the nodes."""
    k = np.arange(tray_size + 1, dtype=float)
    n = np.full(k.size, float(tray_size))
    nodes = [standard_nodes(family) for family in _FAMILIES]
    table = np.concatenate([likelihood_table(k, n, item, grid) for item in nodes], axis=1)
    mass = np.concatenate([item.log_mass for item in nodes])
    return np.ascontiguousarray(table.reshape(k.size, -1)), mass


def histograms(counts: NDArray[np.int64], categories: int) -> Floats:
    """How many trays of each trial had each count, shape (trials, categories)."""
    trials = counts.shape[0]
    out = np.zeros((trials, categories))
    np.add.at(out, (np.arange(trials)[:, None], counts), 1.0)
    return out


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
    table, mass = _tables(tray_size, grid)
    logs = (histograms(counts, tray_size + 1) @ table).reshape(-1, mass.size, grid.cells)
    logs += mass[:, None]
    logs -= logs.max(axis=(1, 2), keepdims=True)
    density = logs.astype(np.float32)
    np.exp(density, out=density)
    density = density.sum(axis=1, keepdims=True, dtype=np.float64)
    density /= density.sum(axis=2, keepdims=True)
    return BatchedPosterior(grid=grid, mass_a=density, mass_b=np.ones((density.shape[0], 1, 1)))
