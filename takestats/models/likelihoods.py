"""How likely is a tray's count, for every spread and every averaged take on the grid?

One row per distinct tray (k taken of n), one column per spread node and take
cell. Log likelihoods, binomial coefficients in.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import theta_of_take
from takestats.models.phi_grid import PhiGrid
from takestats.models.spread import SpreadNodes

Floats = NDArray[np.float64]

_FLOOR = 1e-300
_HERMITE = 21
_LARGEST_TABLE = 4_000_000


def log_choose(k: Floats, n: Floats) -> Floats:
    """Log binomial coefficient."""
    return np.asarray(
        special.gammaln(n + 1.0) - special.gammaln(k + 1.0) - special.gammaln(n - k + 1.0)
    )


def binomial_table(k: Floats, n: Floats, grid: PhiGrid) -> Floats:
    """Log likelihood of trays without spread, shape (trays, 1, cells)."""
    sine, cosine = np.log(np.sin(grid.middles)), np.log(np.cos(grid.middles))
    table = 2.0 * (k[:, None] * sine + (n - k)[:, None] * cosine)
    return np.asarray(table + log_choose(k, n)[:, None])[:, None, :]


def beta_binomial_logs(k: Floats, n: Floats, rhos: Floats, takes: Floats, fails: Floats) -> Floats:
    """Log likelihood of beta-binomial trays, shape (trays, rhos, takes).

    Parameters
    ----------
    k, n : ndarray of shape (trays,)
    rhos : ndarray of shape (rhos,)
    takes, fails : ndarray of shape (takes,)
        The averaged takes and their complements.
    """
    size = ((1.0 - rhos) / rhos)[:, None]
    alpha = size * takes
    beta = size * fails
    whole = size[:, 0]
    ks, at_k = np.unique(k, return_inverse=True)
    fs, at_f = np.unique(n - k, return_inverse=True)
    ns, at_n = np.unique(n, return_inverse=True)
    rise_k = special.gammaln(alpha + ks[:, None, None]) - special.gammaln(alpha)
    rise_f = special.gammaln(beta + fs[:, None, None]) - special.gammaln(beta)
    rise_n = special.gammaln(whole + ns[:, None]) - special.gammaln(whole)
    table = rise_k[at_k] + rise_f[at_f]
    table += (log_choose(k, n)[:, None] - rise_n[at_n])[:, :, None]
    return np.asarray(table)


def beta_binomial_table(k: Floats, n: Floats, nodes: SpreadNodes, grid: PhiGrid) -> Floats:
    """Log likelihood of the beta-binomial part, shape (trays, nodes, cells)."""
    takes, fails = np.sin(grid.middles) ** 2, np.cos(grid.middles) ** 2
    return beta_binomial_logs(k, n, nodes.values, takes, fails)


@lru_cache(maxsize=64)
def _theta(sigmas: tuple[float, ...], grid: PhiGrid) -> Floats:
    return theta_of_take(grid.middles, np.array(sigmas))


def theta_table(nodes: SpreadNodes, grid: PhiGrid) -> Floats:
    """Logit of the middle tray for each node and cell, shape (nodes, cells)."""
    return np.asarray(_theta(tuple(nodes.values.tolist()), grid))


def _logit_step(largest: float) -> float:
    """Step of the logit grid: fine enough for the sharpest binomial curve."""
    steps = np.array([0.25, 0.125, 0.0625, 0.03125, 0.015625, 0.0078125])
    wanted = 0.75 * 2.0 / np.sqrt(largest)
    return float(steps[steps <= wanted][0]) if wanted >= steps[-1] else float(wanted)


def _logits(step: float, reach: float) -> Floats:
    """The logit grid, from minus the reach to the reach."""
    return np.asarray(np.arange(-round(reach / step), round(reach / step) + 1) * step)


@lru_cache(maxsize=32)
def _logit_masses(sigmas: tuple[float, ...], grid: PhiGrid, step: float, reach: float) -> Floats:
    """Mass of ``theta + sigma z`` in each logit step, shape (steps, nodes x cells).

    Beyond the reach the count is certain; the tails are added to the end steps.
    """
    u = _logits(step, reach)
    theta = _theta(sigmas, grid).reshape(-1)
    sigma = np.repeat(np.array(sigmas), grid.cells)
    away = (u[:, None] - theta) / sigma
    mass: Floats = np.exp(-0.5 * away**2) * (step / np.sqrt(2 * np.pi) / sigma)
    mass[0] += special.ndtr((u[0] - 0.5 * step - theta) / sigma)
    mass[-1] += special.ndtr((theta - u[-1] - 0.5 * step) / sigma)
    return mass


def logit_normal_table(k: Floats, n: Floats, nodes: SpreadNodes, grid: PhiGrid) -> Floats:
    """Log likelihood of the logit-normal part, shape (trays, nodes, cells).

    Small spreads: Gauss-Hermite in z. Larger ones: a trapezoid on the logit
    scale, one matrix product for all trays. Its error is about
    exp(-2 pi^2 s^2 / step^2), s the width of the sharpest integrand.
    """
    largest = float(n.max())
    coefficient = log_choose(k, n)[:, None]
    table = np.empty((k.size, nodes.size, grid.cells))
    wide = nodes.values * np.sqrt(largest) / 2.0 > 0.8
    narrow = np.flatnonzero(~wide)
    theta = theta_table(nodes, grid)
    if narrow.size:
        z, weight = np.polynomial.hermite_e.hermegauss(_HERMITE)
        weight = np.asarray(weight / weight.sum(), dtype=np.float64)
        u = theta[narrow][..., None] + nodes.values[narrow, None, None] * z
        log_take, log_fail = -np.logaddexp(0.0, -u), -np.logaddexp(0.0, u)
        inner = np.multiply.outer(k, log_take) + np.multiply.outer(n - k, log_fail)
        top = inner.max(axis=-1)
        inner -= top[..., None]
        value = np.exp(inner, out=inner) @ weight
        table[:, narrow] = top + np.log(value) + coefficient[:, :, None]
    chosen = np.flatnonzero(wide)
    if chosen.size:
        step = _logit_step(largest)
        reach = float(np.ceil(20.0 + np.log(largest)))
        mass = _logit_masses(tuple(nodes.values[chosen].tolist()), grid, step, reach)
        logits = _logits(step, reach)
        log_take, log_fail = -np.logaddexp(0.0, -logits), -np.logaddexp(0.0, logits)
        log_curve = k[:, None] * log_take + (n - k)[:, None] * log_fail
        top = log_curve.max(axis=1, keepdims=True)
        value = np.exp(log_curve - top) @ mass
        logs = np.log(np.maximum(value, _FLOOR)) + top + coefficient
        table[:, chosen] = logs.reshape(k.size, chosen.size, grid.cells)
    return table


def likelihood_table(k: Floats, n: Floats, nodes: SpreadNodes, grid: PhiGrid) -> Floats:
    """Log likelihood of each distinct tray, shape (trays, nodes, cells)."""
    if nodes.family == "binomial":
        return binomial_table(k, n, grid)
    if nodes.family == "beta_binomial":
        return beta_binomial_table(k, n, nodes, grid)
    return logit_normal_table(k, n, nodes, grid)


def log_likelihood(
    k: Floats, n: Floats, times: Floats, nodes: SpreadNodes, grid: PhiGrid
) -> Floats:
    """Log likelihood of all the trays of one level, shape (nodes, cells).

    Parameters
    ----------
    k, n, times : ndarray of shape (distinct trays,)
        Taken, tried, and how many trays were like that.
    """
    total = np.zeros((nodes.size, grid.cells))
    chunk = max(1, _LARGEST_TABLE // (nodes.size * grid.cells))
    for start in range(0, k.size, chunk):
        part = slice(start, start + chunk)
        table = likelihood_table(k[part], n[part], nodes, grid)
        total += np.tensordot(times[part], table, axes=(0, 0))
    return total
