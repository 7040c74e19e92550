"""How is a take distributed when its log odds are known cell by cell?

Cumulative sums at the edges of the cells, read at even steps of asin sqrt(take).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.grid_pairs import Distribution, edge_densities, hermite_sums
from takestats.models.grouped_scale import HALF_PI, LogitGrid, layer
from takestats.models.monotone_curve import monotone_curve
from takestats.models.phi_grid import edge_sums
from takestats.models.spread import PRIOR_SIGMA, Family, SpreadNodes, prior_below

Floats = NDArray[np.float64]

_POINTS = 161
_TRAY_POINTS = 81
_EDGE = 1e-7
_FINE = 801
_FLOOR = 1e-300


def distribution_of(logits: Floats, masses: Floats, points: int = _POINTS) -> Distribution:
    """Distribution of a take from cells of several log-odds scales.

    Parameters
    ----------
    logits : ndarray of shape (slices, cells + 1)
        Logit of the take at the cells' edges.
    masses : ndarray of shape (slices, cells)
        Sum to 1 over everything.
    points : int
        At how many takes it is worked out.
    """
    keep = masses.sum(axis=1) > 1e-12
    logits, masses = logits[keep], masses[keep]
    below = edge_sums(masses)
    share = np.maximum.accumulate(below / below[:, -1:], axis=1)
    rows = np.arange(share.shape[0])
    last = logits.shape[1] - 1
    low = float(logits[rows, np.minimum((share < _EDGE).sum(axis=1) - 1, last)].min())
    high = float(logits[rows, np.minimum((share < 1.0 - _EDGE).sum(axis=1), last)].max())
    ends = np.arctan(np.exp(0.5 * np.array([low, high])))
    phi = np.linspace(max(ends[0] - 1e-3, 1e-6), min(ends[1] + 1e-3, HALF_PI - 1e-6), points)
    wanted = 2.0 * np.log(np.tan(phi))
    cells = np.arange(last + 1.0)
    place = np.array([np.interp(wanted, edges, cells) for edges in logits])
    total = sums_inside(below, masses, place).sum(axis=0)
    takes = np.concatenate([[0.0], np.sin(phi) ** 2, [1.0]])
    return Distribution(points=takes, below=np.clip(np.concatenate([[0.0], total, [1.0]]), 0, 1))


def sums_inside(below: Floats, masses: Floats, place: Floats) -> Floats:
    """Cumulative mass at places inside the cells, row by row."""
    cell = np.minimum(place.astype(np.int64), masses.shape[1] - 1)
    return hermite_sums(below, edge_densities(masses), cell, place - cell)


def spread_distribution(nodes: SpreadNodes, scale: float, log_evidence: Floats) -> Distribution:
    """Posterior of a spread from the evidence at its nodes: a smooth curve times the prior."""
    known = np.isfinite(log_evidence)
    values, logs = nodes.values[known], log_evidence[known]
    root = np.sqrt if nodes.family == "beta_binomial" else np.asarray
    top = 1.0 if nodes.family == "beta_binomial" else max(2.0 * float(values[-1]), 4 * PRIOR_SIGMA)
    edges = np.linspace(0.0, float(root(top)), _FINE)
    middles = 0.5 * (edges[1:] + edges[:-1])
    at = np.asarray(root(values))
    curve = monotone_curve(at, logs, np.clip(middles, at[0], at[-1]))
    edges = edges**2 if nodes.family == "beta_binomial" else edges
    mass = np.exp(curve - curve.max()) * np.diff(prior_below(nodes.family, edges))
    below = np.concatenate([[0.0], np.cumsum(mass)])
    return Distribution(points=edges * scale, below=below / below[-1])


def tray_distribution(
    grid: LogitGrid, spreads: Sequence[tuple[Family, float]], masses: Floats
) -> Distribution:
    """Take of a single tray whose middle tray lies in these cells, (slices, cells)."""
    plain = np.zeros((1, grid.size))
    phi = (np.arange(_TRAY_POINTS) + 0.5) / _TRAY_POINTS * HALF_PI
    points = np.sin(phi) ** 2
    total = np.zeros(_TRAY_POINTS)
    for (family, spread), mass in zip(spreads, masses, strict=True):
        if family != "beta_binomial":
            plain[0] += layer(grid, spread, 0, grid.size) @ mass if spread > 0.0 else mass
            continue
        size = (1.0 - spread) / spread
        cells = np.flatnonzero(mass > _EDGE * mass.sum())
        theta = grid.middles[cells, None]
        alpha, beta = size * special.expit(theta), size * special.expit(-theta)
        total += mass[cells] @ special.betainc(alpha, beta, points)
    if plain.sum() > _FLOOR:
        place = np.interp(special.logit(points), grid.edges, np.arange(grid.size + 1.0))
        total += sums_inside(edge_sums(plain), plain, place[None, :])[0]
    total /= max(1.0, float(masses.sum()))
    return Distribution(
        points=np.concatenate([[0.0], points, [1.0]]),
        below=np.clip(np.concatenate([[0.0], total, [1.0]]), 0.0, 1.0),
    )
