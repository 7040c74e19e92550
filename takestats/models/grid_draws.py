"""How are several levels of the exact grid averaged at once? By even draws from it.

One level, or two levels compared, have exact distributions. An average over
several cells is read from draws: Sobol points through the grid's own
cumulative distributions, the same points for the same seed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from takestats.models.grid_posterior import GridPosterior
from takestats.models.phi_grid import edge_sums
from takestats.models.sobol_points import sobol_points

Floats = NDArray[np.float64]

DRAWS = 32768


def _pick(weights: Floats, uniform: Floats) -> NDArray[np.int64]:
    """Choose items by weight."""
    edges = np.concatenate([[0.0], np.cumsum(weights)])
    edges /= edges[-1]
    return np.clip(np.searchsorted(edges, uniform, side="right") - 1, 0, weights.size - 1)


def _inverse(mass: Floats, edges: Floats, uniform: Floats) -> Floats:
    below = np.maximum.accumulate(np.clip(edge_sums(mass), 0.0, 1.0))
    return np.asarray(np.interp(uniform, below, edges))


def draw_takes(
    posterior: GridPosterior, seed: int, draws: int = DRAWS
) -> tuple[Floats, NDArray[np.int64], Floats]:
    """Draw the averaged takes of all levels together.

    Returns
    -------
    takes : ndarray of shape (draws, levels)
    family : ndarray of shape (draws,)
        Index of the family each draw came from.
    spreads : ndarray of shape (draws, levels)
        The spread (``rho`` or ``sigma``) behind each level's take.
    """
    levels = len(posterior.grids)
    groups = int(posterior.groups.max()) + 1
    uniform = sobol_points(2 + groups + levels, draws, np.random.default_rng(seed))
    part = _pick(posterior.shares.reshape(-1), uniform[:, 0])
    family = part // 2
    own = part % 2 == 1
    takes = np.empty((draws, levels))
    spreads = np.empty((draws, levels))
    for index, fit in enumerate(posterior.families):
        shared = np.flatnonzero((family == index) & ~own)
        apart = np.flatnonzero((family == index) & own)
        node = np.empty((draws, groups), dtype=np.int64)
        if shared.size:
            node[shared] = _pick(fit.common, uniform[shared, 1])[:, None]
        if apart.size:
            for group in range(groups):
                node[apart, group] = _pick(fit.own[group], uniform[apart, 2 + group])
        rows = np.concatenate([shared, apart])
        for level in range(levels):
            at = node[rows, posterior.groups[level]]
            edges = posterior.grids[level].edges
            for chosen in np.unique(at):
                mine = rows[at == chosen]
                phi = _inverse(
                    fit.densities[level][chosen], edges, uniform[mine, 2 + groups + level]
                )
                takes[mine, level] = np.sin(phi) ** 2
                spreads[mine, level] = fit.nodes.values[chosen]
    return takes, family, spreads
