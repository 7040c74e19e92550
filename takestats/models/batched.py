"""What would the exact grid say of thousands of two-arm trials at once?

The same grid, nodes and four parts as a single fit, for trials of two arms
with equal tray sizes within an arm: planning and calibration run on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.likelihoods import likelihood_table
from takestats.models.phi_grid import PhiGrid, edge_sums, usual_grid
from takestats.models.spread import Family, own_spread_log_odds, standard_nodes

Floats = NDArray[np.floating[Any]]

_FAMILIES: tuple[Family, ...] = ("beta_binomial", "logit_normal")
_BEND = 4.2
_HALF_POINTS = 45
_TINY = 1e-7
_FEW_POINTS = 2
# Products of what is left stay above the smallest normal single: below it sums crawl.
_NOTHING, _NO_WEIGHT = 1e-12, 1e-9


def difference_points() -> Floats:
    """Points at which differences are worked out, dense near 0."""
    t = np.arange(-_HALF_POINTS, _HALF_POINTS + 1) / _HALF_POINTS
    return np.asarray(np.sinh(_BEND * t) / np.sinh(_BEND))


def pair_weights(grid: PhiGrid, partner_takes: Floats) -> Floats:
    """Weights that turn a joint mass into probabilities of lying below points.

    Parameters
    ----------
    grid : PhiGrid
        Of both arms.
    partner_takes : ndarray of shape (cells, points)
        For each take of A and each point, the take of B at which the
        comparison equals the point; B above it lies below the point.

    Returns
    -------
    ndarray of shape (cells x cells, points)
    """
    cells = grid.cells
    below = np.tril(np.ones((cells, cells)))
    edge = np.vstack([np.zeros(cells), below])
    bend = np.zeros((cells + 1, cells))
    inner = np.arange(1, cells)
    bend[inner, inner], bend[inner, inner - 1] = 1.0 / 24.0, -1.0 / 24.0
    edge = edge + bend
    slope = np.zeros((cells + 1, cells))
    slope[inner, inner] = slope[inner, inner - 1] = 0.5
    slope[0, 0] = slope[-1, -1] = 1.0
    above = 1.0 - edge
    phi = np.arcsin(np.sqrt(np.clip(partner_takes, 0.0, 1.0)))
    place = np.clip((phi - grid.low) / grid.step, 0.0, float(cells))
    cell = np.minimum(place.astype(np.int64), cells - 1)
    part = (place - cell)[..., None]
    rise = part * part * (3.0 - 2.0 * part)
    weights = (
        above[cell] * (1.0 - rise)
        + above[cell + 1] * rise
        - slope[cell] * (part * (1.0 - part) ** 2)
        - slope[cell + 1] * (part * part * (part - 1.0))
    )
    return np.ascontiguousarray(weights.transpose(0, 2, 1).reshape(cells * cells, -1))


@lru_cache(maxsize=8)
def _difference_weights(grid: PhiGrid) -> Floats:
    weights = pair_weights(grid, grid.takes[:, None] - difference_points()[None, :])
    return weights.astype(np.float32)


@lru_cache(maxsize=32)
def count_tables(tray_size: int, grid: PhiGrid) -> tuple[Floats, Floats]:
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


@dataclass(frozen=True, eq=False, kw_only=True)
class BatchedPosterior:
    """Joint mass of the two takes, one slice per trial.

    Parameters
    ----------
    grid : PhiGrid
    mass_a, mass_b : ndarray of shape (trials, components, cells)
        Given the component the takes are independent; the weight of the
        component is in ``mass_a``.
    """

    grid: PhiGrid
    mass_a: Floats
    mass_b: Floats

    def joint(self) -> Floats:
        """Joint mass, shape (trials, cells of a x cells of b)."""
        joint = np.matmul(self.mass_a.transpose(0, 2, 1), self.mass_b)
        return np.asarray(joint.reshape(joint.shape[0], -1))

    def _below_one(self, weights: Floats) -> Floats:
        """Probability of lying below one point, shape (trials,)."""
        cells = self.grid.cells
        square = weights.reshape(cells, cells).T.astype(np.float32)
        shape = self.mass_b.shape
        turned = (self.mass_b.reshape(-1, cells) @ square).reshape(shape[0], -1)
        return np.asarray(np.einsum("ij,ij->i", self.mass_a.reshape(shape[0], -1), turned))

    def below(self, weights: Floats) -> Floats:
        """Probability of lying below each point, shape (trials, points)."""
        if weights.shape[1] <= _FEW_POINTS:
            columns = [self._below_one(weights[:, i]) for i in range(weights.shape[1])]
            return np.column_stack(columns).astype(float)
        return np.asarray(self.joint() @ weights.astype(np.float32, copy=False), dtype=float)

    def take_limits(self, arm: int, shares: tuple[float, ...]) -> Floats:
        """Quantiles of the take of an arm (0 or 1), shape (trials, shares)."""
        if arm == 0:
            density = (self.mass_a * self.mass_b.sum(axis=2, keepdims=True)).sum(axis=1)
        else:
            weight = self.mass_a.sum(axis=2, keepdims=True)
            density = (weight * self.mass_b).sum(axis=1)
        below = edge_sums(density.astype(float))
        edges = np.broadcast_to(self.grid.edges, below.shape)
        return np.asarray(np.sin(_quantiles(below, edges, shares)) ** 2)

    def difference_limits(self, shares: tuple[float, ...]) -> Floats:
        """Quantiles of A minus B, shape (trials, shares)."""
        below = self.below(_difference_weights(self.grid))
        points = np.broadcast_to(difference_points(), below.shape)
        return _quantiles(below, points, shares)


def _quantiles(below: Floats, points: Floats, shares: tuple[float, ...]) -> Floats:
    """Interpolate on the probit scale, one row per trial."""
    probit = special.ndtri(np.clip(below, _TINY, 1.0 - _TINY))
    probit = np.maximum.accumulate(probit, axis=1)
    out = np.empty((below.shape[0], len(shares)))
    rows = np.arange(below.shape[0])
    for index, share in enumerate(shares):
        target = float(special.ndtri(share))
        right = np.clip((probit < target).sum(axis=1), 1, below.shape[1] - 1)
        low, high = probit[rows, right - 1], probit[rows, right]
        part = np.clip((target - low) / np.maximum(high - low, 1e-300), 0.0, 1.0)
        start, stop = points[rows, right - 1], points[rows, right]
        out[:, index] = start + part * (stop - start)
    return out


def batched_posterior(
    counts_a: NDArray[np.int64],
    counts_b: NDArray[np.int64],
    tray_size_a: int,
    tray_size_b: int,
    grid: PhiGrid | None = None,
) -> BatchedPosterior:
    """Fit many two-arm trials on the exact grid.

    Parameters
    ----------
    counts_a, counts_b : ndarray of int, shape (trials, trays)
        Taken in each tray.
    tray_size_a, tray_size_b : int
        Grafts per tray.
    grid : PhiGrid, optional
        Of the takes; 5 to 100 % by default.

    Returns
    -------
    BatchedPosterior
        Four parts averaged by their evidence, as in a single fit.
    """
    where = grid if grid is not None else usual_grid()
    logs, evidence = [], []
    for counts, size in ((counts_a, tray_size_a), (counts_b, tray_size_b)):
        table, mass = count_tables(size, where)
        value = (histograms(counts, size + 1) @ table).reshape(-1, mass.size, where.cells)
        top = value.max(axis=2, keepdims=True)
        # Masses between 0 and 1 in single precision: half the memory, twice the speed, and
        # seven digits where the third is what is read.
        density = (value - top).astype(np.float32)
        np.exp(density, out=density)
        density[density < _NOTHING] = 0.0
        total = density.sum(axis=2, keepdims=True)
        density /= total
        logs.append(density)
        evidence.append((top + np.log(total))[:, :, 0])
    mass = count_tables(tray_size_a, where)[1]
    families = len(_FAMILIES)
    nodes = mass.size // families
    common = evidence[0] + evidence[1] + mass
    own = [np.exp(e + mass - (e + mass).max(axis=1, keepdims=True)) for e in evidence]
    tops = [(e + mass).max(axis=1, keepdims=True) for e in evidence]
    sums = [item.reshape(-1, families, nodes).sum(axis=2) for item in own]
    log_own = tops[0] + np.log(sums[0]) + tops[1] + np.log(sums[1])
    log_own += own_spread_log_odds(counts_a.shape[1] + counts_b.shape[1], 2)
    highest = np.maximum(common.max(axis=1), log_own.max(axis=1))[:, None]
    weight = np.concatenate([np.exp(common - highest), np.exp(log_own - highest)], axis=1)
    weight /= weight.sum(axis=1, keepdims=True)
    weight[weight < _NO_WEIGHT] = 0.0
    mixed = []
    for item, total, density in zip(own, sums, logs, strict=True):
        share = (item.reshape(-1, families, 1, nodes) / total[:, :, None, None]).astype(np.float32)
        mixed.append((share @ density.reshape(-1, families, nodes, where.cells))[:, :, 0, :])
    mass_a = np.concatenate([logs[0], mixed[0]], axis=1) * weight[:, :, None].astype(np.float32)
    return BatchedPosterior(
        grid=where, mass_a=mass_a, mass_b=np.concatenate([logs[1], mixed[1]], axis=1)
    )
