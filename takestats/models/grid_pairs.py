"""What does the exact grid say of a take, of a difference, of an odds ratio?

Cumulative distributions, worked out at points and interpolated on the probit
scale. Quantiles are never read off sorted cells: two levels on one grid would
put a lump at zero.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.grid_posterior import GridPosterior, level_density
from takestats.models.monotone_curve import monotone_curve
from takestats.models.phi_grid import PhiGrid, edge_sums

Floats = NDArray[np.float64]

_POINTS = 97
_REACH = 7.0
_TINY = 1e-14


@dataclass(frozen=True, eq=False, kw_only=True)
class Distribution:
    """A posterior distribution known at points.

    Parameters
    ----------
    points, below : ndarray of shape (points,)
        Values, and the probability of lying below each.
    """

    points: Floats
    below: Floats

    def probability_below(self, value: float) -> float:
        """Probability of lying below ``value``."""
        return float(np.interp(value, self.points, self.below))

    def quantiles(self, shares: Sequence[float]) -> list[float]:
        """Values that these shares of the distribution lie below."""
        probit = special.ndtri(np.clip(self.below, _TINY, 1.0 - _TINY))
        probit = np.maximum.accumulate(probit)
        rising = np.concatenate([[True], np.diff(probit) > 1e-12])
        known, at = probit[rising], self.points[rising]
        last = float(self.points[np.flatnonzero(rising)[-1]])
        targets = special.ndtri(np.asarray(shares, dtype=float))
        if known.size < 3:
            found = np.interp(targets, known, at)
        else:
            found = monotone_curve(known, at, np.clip(targets, known[0], known[-1]))
        found = np.where(targets <= known[0], at[0], np.where(targets >= known[-1], last, found))
        return [float(value) for value in found]

    def quantile(self, share: float) -> float:
        """Value that a share of the distribution lies below."""
        return self.quantiles([share])[0]


def edge_densities(mass: Floats) -> Floats:
    """Densities (per cell) at the cells' edges, last axis."""
    density = np.empty((*mass.shape[:-1], mass.shape[-1] + 1))
    density[..., 1:-1] = 0.5 * (mass[..., 1:] + mass[..., :-1])
    density[..., 0], density[..., -1] = mass[..., 0], mass[..., -1]
    return density


def hermite_sums(below: Floats, density: Floats, cell: NDArray[np.int64], part: Floats) -> Floats:
    """Cumulative sums inside cells, by cubic Hermite interpolation along the last axis."""
    square, cube = part * part, part * part * part
    left = np.take_along_axis(below, cell, axis=-1)
    right = np.take_along_axis(below, cell + 1, axis=-1)
    slope_left = np.take_along_axis(density, cell, axis=-1)
    slope_right = np.take_along_axis(density, cell + 1, axis=-1)
    rise = 3.0 * square - 2.0 * cube
    return (
        left * (1.0 - rise)
        + right * rise
        + slope_left * (cube - 2.0 * square + part)
        + slope_right * (cube - square)
    )


def take_distribution(posterior: GridPosterior, level: int) -> Distribution:
    """Distribution of the averaged take of one level."""
    grid = posterior.grids[level]
    below = edge_sums(level_density(posterior, level))
    return Distribution(points=np.sin(grid.edges) ** 2, below=np.clip(below, 0.0, 1.0))


def joint_mass(posterior: GridPosterior, a: int, b: int) -> Floats:
    """Joint mass of the takes of two levels, shape (cells of a, cells of b)."""
    total = np.zeros((posterior.grids[a].cells, posterior.grids[b].cells))
    same = posterior.groups[a] == posterior.groups[b]
    for fit, share in zip(posterior.families, posterior.shares, strict=True):
        weights = share[0] * fit.common
        if same:
            weights = weights + share[1] * fit.own[posterior.groups[a]]
        total += (fit.densities[a] * weights[:, None]).T @ fit.densities[b]
        if not same:
            mixed_a = fit.own[posterior.groups[a]] @ fit.densities[a]
            mixed_b = fit.own[posterior.groups[b]] @ fit.densities[b]
            total += share[1] * np.multiply.outer(mixed_a, mixed_b)
    return total


def pair_probabilities(
    mass: Floats,
    grid_a: PhiGrid,
    grid_b: PhiGrid,
    points: Floats,
    partner: Callable[[Floats, Floats], Floats],
) -> Floats:
    """Probability that the comparison of A with B lies below each point.

    Parameters
    ----------
    mass : ndarray of shape (cells of a, cells of b)
        Joint mass.
    points : ndarray of shape (points,)
        Values of the comparison.
    partner : callable
        ``partner(take_a, point)``: the take of B at which the comparison
        equals the point; B above it puts the comparison below the point.
    """
    below = edge_sums(mass)
    above = below[:, -1:] - below
    takes = grid_a.takes[:, None]
    phi = np.arcsin(np.sqrt(np.clip(partner(takes, points[None, :]), 0.0, 1.0)))
    place = np.clip((phi - grid_b.low) / grid_b.step, 0.0, float(grid_b.cells))
    cell = np.minimum(place.astype(np.int64), grid_b.cells - 1)
    values = hermite_sums(above, -edge_densities(mass), cell, place - cell)
    return np.asarray(np.clip(values.sum(axis=0) / mass.sum(), 0.0, 1.0))


def _points(mean: float, spread: float, low: float, high: float) -> Floats:
    around = mean + max(spread, 1e-9) * np.linspace(-_REACH, _REACH, _POINTS)
    return np.unique(np.clip(np.append(around, 0.0), low, high))


def difference_distribution(posterior: GridPosterior, a: int, b: int) -> Distribution:
    """Distribution of the take of level ``a`` minus that of level ``b``."""
    mass = joint_mass(posterior, a, b)
    takes_a, takes_b = posterior.grids[a].takes, posterior.grids[b].takes
    gap = takes_a[:, None] - takes_b[None, :]
    mean = float((mass * gap).sum())
    spread = float(np.sqrt((mass * (gap - mean) ** 2).sum()))
    points = _points(mean, spread, -1.0, 1.0)
    below = pair_probabilities(
        mass, posterior.grids[a], posterior.grids[b], points, lambda take, point: take - point
    )
    return Distribution(points=points, below=below)


def log_odds_ratio_distribution(posterior: GridPosterior, a: int, b: int) -> Distribution:
    """Distribution of the log odds ratio of two averaged takes, A against B."""
    mass = joint_mass(posterior, a, b)
    logit_a = 2.0 * np.log(np.tan(posterior.grids[a].middles))
    logit_b = 2.0 * np.log(np.tan(posterior.grids[b].middles))
    gap = logit_a[:, None] - logit_b[None, :]
    mean = float((mass * gap).sum())
    spread = float(np.sqrt((mass * (gap - mean) ** 2).sum()))
    points = _points(mean, spread, -np.inf, np.inf)
    below = pair_probabilities(
        mass,
        posterior.grids[a],
        posterior.grids[b],
        points,
        lambda take, point: special.expit(special.logit(take) - point),
    )
    return Distribution(points=points, below=below)
