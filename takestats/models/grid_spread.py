"""How much do trays of one level differ among themselves? The intra-tray correlation."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from takestats.models.averaged_take import correlation_of_sigma
from takestats.models.grid import FamilyFit, GridPosterior
from takestats.models.likelihoods import theta_table
from takestats.models.phi_grid import PhiGrid

Floats = NDArray[np.float64]

_WIDEST_SIGMA = 8.0


def _correlation_edges(fit: FamilyFit, grid: PhiGrid, density: Floats) -> tuple[Floats, Floats]:
    """Lower and upper correlation of each spread cell, at the level's own take."""
    edges = fit.nodes.edges
    if fit.nodes.family == "beta_binomial":
        return edges[:-1], edges[1:]
    middle = np.clip((density @ grid.middles - grid.low) / grid.step - 0.5, 0, grid.cells - 1)
    table = theta_table(fit.nodes, grid)
    left = middle.astype(int)
    right = np.minimum(left + 1, grid.cells - 1)
    rows = np.arange(fit.nodes.size)
    theta = table[rows, left] + (middle - left) * (table[rows, right] - table[rows, left])
    low = correlation_of_sigma(theta, np.maximum(edges[:-1], 1e-6))
    high = correlation_of_sigma(theta, np.minimum(edges[1:], _WIDEST_SIGMA))
    return low, high


def correlation_limits(
    posterior: GridPosterior, levels: list[int], tails: tuple[float, float, float]
) -> tuple[float, ...]:
    """Quantiles of the intra-tray correlation of levels that share a spread.

    Parameters
    ----------
    posterior : GridPosterior
    levels : list of int
        Levels of one own spread, or every level: then only the parts with a
        common spread speak.
    tails : tuple of float
        Shares to find the quantiles of.
    """
    groups = {int(posterior.groups[level]) for level in levels}
    group = groups.pop() if len(groups) == 1 else None
    lows, highs, weights = [], [], []
    for fit, share in zip(posterior.families, posterior.shares, strict=True):
        node = share[0] * fit.common
        if group is not None:
            node = node + share[1] * fit.own[group]
        # Take of the level decides what correlation a sigma is.
        pieces = [
            _correlation_edges(fit, posterior.grids[level], fit.densities[level])
            for level in levels
        ]
        lows.append(np.mean([piece[0] for piece in pieces], axis=0))
        highs.append(np.mean([piece[1] for piece in pieces], axis=0))
        weights.append(node)
    low, high = np.sqrt(np.concatenate(lows)), np.sqrt(np.concatenate(highs))
    weight = np.concatenate(weights)
    points = np.unique(np.concatenate([low, high]))
    width = np.maximum(high - low, 1e-12)
    inside = np.clip((points[:, None] - low) / width, 0.0, 1.0)
    below = inside @ weight / weight.sum()
    return tuple(float(np.interp(tail, below, points)) ** 2 for tail in tails)


def more_uneven(posterior: GridPosterior, a: int, b: int) -> float:
    """Probability that group ``a`` has the wider own spread; a common spread counts half."""
    total = 0.0
    for fit, share in zip(posterior.families, posterior.shares, strict=True):
        below_b = np.concatenate([[0.0], np.cumsum(fit.own[b])])
        wider = float(fit.own[a] @ (0.5 * (below_b[1:] + below_b[:-1])))
        total += 0.5 * share[0] + share[1] * wider
    return float(total)
