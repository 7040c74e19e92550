"""How much do trays of one level differ among themselves? The intra-tray correlation."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from takestats.models.averaged_take import correlation_of_sigma
from takestats.models.grid_posterior import FamilyFit, GridPosterior
from takestats.models.likelihoods import theta_table
from takestats.models.phi_grid import PhiGrid
from takestats.models.spread import SpreadNodes, prior_below, prior_quantile

Floats = NDArray[np.float64]

_WIDEST_SIGMA = 8.0
_PIECES = 8


def _split_edges(nodes: SpreadNodes) -> Floats:
    """Edges of pieces of equal prior mass inside each spread cell, shape (nodes, pieces + 1)."""
    share = np.linspace(0.0, 1.0, _PIECES + 1)
    below = prior_below(nodes.family, nodes.edges)
    inside = below[:-1, None] + (below[1:] - below[:-1])[:, None] * share
    pieces = prior_quantile(nodes.family, inside)
    pieces[:, 0], pieces[:, -1] = nodes.edges[:-1], nodes.edges[1:]
    return pieces


def _piece_weights(nodes: SpreadNodes, weights: Floats, log_evidence: Floats) -> Floats:
    """Share a node's weight among its pieces as the records favour them, (nodes, pieces).

    Straight lines through the log evidence of the nodes; beyond the last node
    the parabola of the last three goes on where it falls, so that the wide end
    cell is not believed alike throughout.
    """
    edges = np.minimum(_split_edges(nodes), _WIDEST_SIGMA)
    middles = 0.5 * (edges[:, :-1] + edges[:, 1:])
    values = nodes.values
    if nodes.family == "beta_binomial":
        values, middles = np.sqrt(values), np.sqrt(middles)
    slopes = np.diff(log_evidence[-3:]) / np.diff(values[-3:])
    bend = min(0.0, float(slopes[1] - slopes[0]) / float(values[-1] - values[-3]))
    slope = min(0.0, float(slopes[1]) + bend * float(values[-1] - values[-2]))
    past = np.maximum(middles - values[-1], 0.0)
    curve = np.interp(middles, values, log_evidence) + slope * past + bend * past**2
    favour = np.exp(curve - curve.max(axis=1, keepdims=True))
    return np.asarray(weights[:, None] * favour / favour.sum(axis=1, keepdims=True))


def _correlation_edges(fit: FamilyFit, grid: PhiGrid, density: Floats) -> Floats:
    """Correlation at the edges of the pieces, at the level's own take; (nodes, pieces + 1)."""
    edges = _split_edges(fit.nodes)
    if fit.nodes.family == "beta_binomial":
        return edges
    middle = np.clip((density @ grid.middles - grid.low) / grid.step - 0.5, 0, grid.cells - 1)
    table = theta_table(fit.nodes, grid)
    left = middle.astype(int)
    right = np.minimum(left + 1, grid.cells - 1)
    rows = np.arange(fit.nodes.size)
    theta = table[rows, left] + (middle - left) * (table[rows, right] - table[rows, left])
    return correlation_of_sigma(theta[:, None], np.clip(edges, 1e-6, _WIDEST_SIGMA))


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
        node = share[0] * _piece_weights(fit.nodes, fit.common, fit.log_evidence.sum(axis=0))
        if group is not None:
            mine = fit.log_evidence[posterior.groups == group].sum(axis=0)
            node = node + share[1] * _piece_weights(fit.nodes, fit.own[group], mine)
        # Take of the level decides what correlation a sigma is.
        pieces = [
            _correlation_edges(fit, posterior.grids[level], fit.densities[level])
            for level in levels
        ]
        edges = np.mean(pieces, axis=0)
        lows.append(edges[:, :-1].ravel())
        highs.append(edges[:, 1:].ravel())
        weights.append(node.ravel())
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
