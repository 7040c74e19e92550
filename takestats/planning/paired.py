"""What do thousands of trials say in which both methods stood in every tray?

The two models of several rows in one tray, on a grid of the two takes: a shared
place of the tray, normal on the log odds with a row effect of its own, or a
shared quantile of beta distributions. The prior is flat on both grids; the
report's engine, which samples, has a prior that looks at the pairing: in few
trays the two differ a little (tests/planning/test_paired.py).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import theta_of_take
from takestats.models.batched import BatchedPosterior
from takestats.models.likelihoods import log_choose
from takestats.models.phi_grid import PhiGrid
from takestats.models.spread import prior_below

Floats = NDArray[np.float64]

_RHOS = np.array([0.001, 0.02, 0.045, 0.085, 0.14, 0.22, 0.34, 0.55])
_SIGMAS = np.array([0.08, 0.35, 0.65, 1.0, 1.45, 2.1, 3.2])
_OMEGAS = np.array([0.08, 0.35, 0.75])
#: The row effect's prior is three times as narrow as the tray's.
_OMEGA_SCALE = 3.0
_NODES = _RHOS.size + _SIGMAS.size * _OMEGAS.size
_Z = np.linspace(-4.6, 4.6, 47)
_W = np.exp(-0.5 * _Z**2) / np.exp(-0.5 * _Z**2).sum()
_E, _EW = np.polynomial.hermite_e.hermegauss(9)
_EW = _EW / _EW.sum()
_MOST_ENTRIES = 60_000_000
_MOST_CELLS, _FEWEST_CELLS = 44, 20
_FLOOR = 1e-30


def paired_cells(sizes: tuple[int, int]) -> int:
    """How many cells each take may have, so that the table stays within memory."""
    pairs = (sizes[0] + 1) * (sizes[1] + 1)
    return int(np.clip(np.sqrt(_MOST_ENTRIES / (pairs * _NODES)), _FEWEST_CELLS, _MOST_CELLS))


def _masses(values: Floats, family: str, scale: float = 1.0) -> Floats:
    """Prior mass of the cell around each value."""
    if family == "rho":
        root = np.sqrt(values)
        edges = np.concatenate([[0.0], (0.5 * (root[1:] + root[:-1])) ** 2, [1.0]])
        return np.diff(prior_below("beta_binomial", edges))
    edges = np.concatenate([[0.0], 0.5 * (values[1:] + values[:-1]), [50.0]])
    return np.diff(prior_below("logit_normal", edges * scale))


def _binomials(size: int, logit: Floats) -> Floats:
    """Chance of every count, shape (size + 1, ...)."""
    k = np.arange(size + 1.0)
    choose = log_choose(k, np.full(k.size, float(size)))
    shape = (-1,) + (1,) * logit.ndim
    took, lost = special.log_expit(logit), special.log_expit(-logit)
    k, choose = k.reshape(shape), choose.reshape(shape)
    return np.asarray(np.exp(choose + k * took + (size - k) * lost))


def _given_place(size: int, grid: PhiGrid, node: int) -> tuple[Floats, float]:
    """Chance of every count given the tray's place (counts, cells, places), and the log prior."""
    if node < _RHOS.size:
        rho = float(_RHOS[node])
        whole = 1.0 / rho - 1.0
        takes = grid.takes[:, None]
        place = special.ndtr(_Z)[None, :]
        take = special.betaincinv(takes * whole, (1.0 - takes) * whole, place)
        logit = special.logit(np.clip(take, 1e-15, 1.0 - 1e-15))
        prior = 0.5 * _masses(_RHOS, "rho")[node]
        return _binomials(size, logit), float(np.log(prior))
    row, column = divmod(node - _RHOS.size, _OMEGAS.size)
    sigma, omega = float(_SIGMAS[row]), float(_OMEGAS[column])
    theta = theta_of_take(grid.middles, np.array([np.hypot(sigma, omega)]))[0]
    middle = theta[:, None] + sigma * _Z[None, :]
    chance = sum(
        weight * _binomials(size, middle + omega * e)
        for e, weight in zip(_E.tolist(), _EW.tolist(), strict=True)
    )
    prior = 0.5 * _masses(_SIGMAS, "sigma")[row] * _masses(_OMEGAS, "omega", _OMEGA_SCALE)[column]
    return np.asarray(chance), float(np.log(prior))


@lru_cache(maxsize=2)
def _tables(sizes: tuple[int, int], grid: PhiGrid) -> list[tuple[NDArray[np.float32], float]]:
    """Of each node the log chance of every pair of counts, (pairs, cells x cells)."""
    cells = grid.cells
    out = []
    for node in range(_NODES):
        one, prior = _given_place(sizes[0], grid, node)
        two = one if sizes[1] == sizes[0] else _given_place(sizes[1], grid, node)[0]
        left = (one * _W).reshape(-1, _Z.size).astype(np.float32)
        right = two.reshape(-1, _Z.size).astype(np.float32)
        joint = (left @ right.T).reshape(sizes[0] + 1, cells, sizes[1] + 1, cells)
        table = np.log(np.maximum(joint, _FLOOR)).transpose(0, 2, 1, 3)
        out.append((np.ascontiguousarray(table.reshape(-1, cells * cells)), prior))
    return out


def paired_posterior(
    counts_a: NDArray[np.int64],
    counts_b: NDArray[np.int64],
    sizes: tuple[int, ...],
    grid: PhiGrid,
) -> BatchedPosterior:
    """Fit many trials with both methods in each tray.

    Parameters
    ----------
    counts_a, counts_b : ndarray of int, shape (trials, trays)
        Taken of either method, tray by tray.
    sizes : tuple of int
        Grafts of either method in a tray.
    grid : PhiGrid
        Of both takes.

    Returns
    -------
    BatchedPosterior
        One component per cell of the first take.
    """
    trials, cells = counts_a.shape[0], grid.cells
    pair = counts_a * (sizes[1] + 1) + counts_b
    seen, place = np.unique(pair, return_inverse=True)
    histogram = np.zeros((trials, seen.size), dtype=np.float32)
    np.add.at(histogram, (np.arange(trials)[:, None], place.reshape(pair.shape)), 1.0)
    total = np.zeros((trials, cells * cells), dtype=np.float32)
    top = np.full((trials, 1), -np.inf, dtype=np.float32)
    for table, prior in _tables((sizes[0], sizes[1]), grid):
        logs = histogram @ table[seen] + np.float32(prior)
        highest = np.maximum(top, logs.max(axis=1, keepdims=True))
        total *= np.exp(top - highest)
        np.exp(logs - highest, out=logs)
        total += logs
        top = highest
    total /= total.sum(axis=1, keepdims=True)
    whole = np.broadcast_to(np.eye(cells, dtype=np.float32), (trials, cells, cells))
    return BatchedPosterior(grid=grid, mass_a=whole, mass_b=total.reshape(trials, cells, cells))
