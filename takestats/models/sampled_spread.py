"""How much do trays differ, and at which values of that spread is the posterior worth a look?

The evidence is found on some twenty values by Laplace's approximation, joined
by a monotone cubic over sqrt(rho) or sigma, and multiplied by the prior; nodes
stand at equal steps of its distribution function.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.monotone_curve import monotone_curve
from takestats.models.sampled_families import Family, log_prior
from takestats.models.sampled_modes import Modes, find_modes
from takestats.models.sampled_tables import Tables, make_tables

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_VALUES = 20
_DENSE = 1201
_SCAN_EDGE = 24.0
_DIED_AWAY = 6.0
_SWEEPS = 5
_TOP = {"beta-binomial": 0.97, "logit-normal": 6.5}


@dataclass(frozen=True, eq=False, kw_only=True)
class Nodes:
    """Spread values to draw at, per level.

    Parameters
    ----------
    spread : numpy.ndarray
        ``(levels, nodes)``: rho or sigma.
    log_ratio : numpy.ndarray
        ``(levels, nodes)``: log of prior over proposal density.
    start : numpy.ndarray
        ``(levels, nodes, coefficients)``: where to look for the peaks.
    centre : numpy.ndarray
        The peak with every level at its middle.
    low, high : float
        Range of log odds that the draws will need.
    """

    spread: FloatArray
    log_ratio: FloatArray
    start: FloatArray
    centre: FloatArray
    low: float
    high: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Scan:
    """Modes along the spread of each level, the others held at their middle."""

    x: FloatArray
    modes: tuple[Modes, ...]


def spread_of(family: Family, x: FloatArray) -> FloatArray:
    """Rho from its square root; sigma as it is."""
    return x * x if family == "beta-binomial" else x


def rough_icc(family: Family, spread: FloatArray) -> FloatArray:
    """ICC of a spread, roughly: exact for rho, by the logistic's variance for sigma."""
    return spread if family == "beta-binomial" else spread**2 / (spread**2 + np.pi**2 / 3.0)


def first_values(family: Family) -> FloatArray:
    """Twenty values of sqrt(rho) or sigma to begin with."""
    if family == "beta-binomial":
        return np.linspace(0.02, 0.95, _VALUES)
    return np.linspace(0.17, 2.4, _VALUES) ** 2


def scan_common(lines: Lines, family: Family, start: FloatArray) -> tuple[Scan, Tables]:
    """Peaks along one spread for all trays; the values move in when the data know it well."""
    x = first_values(family)
    level = np.zeros_like(lines.group)
    cells = np.zeros_like(lines.cell_group)
    begin = np.broadcast_to(start, (x.size, start.size)).copy()
    for turn in (0, 1):
        spread = spread_of(family, x)[None, :]
        tables = make_tables(lines, cells, family, spread, -_SCAN_EDGE, _SCAN_EDGE)
        vectors = np.arange(x.size)[:, None]
        icc = rough_icc(family, spread)[0][vectors]
        modes = find_modes(lines, tables, level, vectors, icc, begin)
        closer = _closer_values(family, x, modes.log_evidence)
        if turn == 1 or closer is None:
            break
        begin = np.stack([np.interp(closer, x, column) for column in modes.at.T], axis=1)
        x = closer
    return Scan(x=x[None, :], modes=(modes,)), tables


def scan_levels(
    lines: Lines, family: Family, level: IntArray, cells: IntArray, common: Scan, tables: Tables
) -> Scan:
    """Peaks along each level's own spread, the other levels at the middle of theirs."""
    levels = int(level.max()) + 1
    x = np.repeat(common.x, levels, axis=0)
    middle = int(np.argmax(_log_density(family, common.x[0], common.modes[0].log_evidence)))
    centre = np.full(levels, middle, dtype=np.intp)
    begin = common.modes[0].at[middle]
    modes: list[Modes] = []
    for turn in range(_SWEEPS):
        modes = _sweep(lines, family, level, x, centre, tables, begin)
        found = [_log_density(family, x[i], modes[i].log_evidence) for i in range(levels)]
        best = np.array([int(np.argmax(f)) for f in found], dtype=np.intp)
        better = [_closer_values(family, x[i], modes[i].log_evidence) for i in range(levels)]
        settled = all(b is None for b in better)
        if turn == _SWEEPS - 1 or (settled and np.all(np.abs(best - centre) <= 2)):
            break
        begin = modes[0].at[centre[0]].copy()
        for i in range(levels):
            begin += modes[i].at[best[i]] - modes[i].at[centre[i]]
        if not settled:
            peaks = x[np.arange(levels), best]
            x = np.stack([x[i] if b is None else b for i, b in enumerate(better)])
            best = np.argmin(np.abs(x - peaks[:, None]), axis=1)
            tables = make_tables(
                lines, cells, family, spread_of(family, x), -_SCAN_EDGE, _SCAN_EDGE
            )
        centre = best
    return Scan(x=x, modes=tuple(modes))


def _sweep(
    lines: Lines,
    family: Family,
    level: IntArray,
    x: FloatArray,
    centre: IntArray,
    tables: Tables,
    begin: FloatArray,
) -> list[Modes]:
    levels, values = x.shape
    vectors = np.tile(centre, (levels * values, 1))
    for i in range(levels):
        vectors[i * values : (i + 1) * values, i] = np.arange(values)
    icc = rough_icc(family, spread_of(family, x))[np.arange(levels), vectors]
    start = np.broadcast_to(begin, (vectors.shape[0], begin.size)).copy()
    all_modes = find_modes(lines, tables, level, vectors, icc, start)
    out = []
    for i in range(levels):
        some = slice(i * values, (i + 1) * values)
        out.append(
            Modes(
                at=all_modes.at[some],
                height=all_modes.height[some],
                scoring=all_modes.scoring[some],
                log_evidence=all_modes.log_evidence[some],
            )
        )
    return out


def place_nodes(lines: Lines, family: Family, scan: Scan, count: int) -> Nodes:
    """Spread values at the (j - 1/2) / count quantiles of each level's own posterior."""
    levels = scan.x.shape[0]
    spread = np.empty((levels, count))
    ratio = np.empty((levels, count))
    start = np.empty((levels, count, lines.coefficients))
    bounds = []
    centres = []
    for i, modes in enumerate(scan.modes):
        x = scan.x[i]
        nodes, log_q = _quantiles(family, x, modes.log_evidence, count)
        spread[i] = spread_of(family, nodes)
        ratio[i] = _log_prior_of(family, nodes) - log_q
        start[i] = np.stack([np.interp(nodes, x, column) for column in modes.at.T], axis=1)
        centres.append(start[i, count // 2])
        bounds.append(_range(lines, family, x, modes))
    return Nodes(
        spread=spread,
        log_ratio=ratio,
        start=start,
        centre=np.mean(centres, axis=0),
        low=min(b[0] for b in bounds),
        high=max(b[1] for b in bounds),
    )


def _range(lines: Lines, family: Family, x: FloatArray, modes: Modes) -> tuple[float, float]:
    density = _log_density(family, x, modes.log_evidence)
    some = density > density.max() - 12.0
    eta = modes.at[some] @ lines.basis.T
    inverse = np.linalg.inv(modes.scoring[some])
    sd = np.sqrt(((lines.basis @ inverse) * lines.basis).sum(axis=-1))
    return float((eta - 9.0 * sd).min()), float((eta + 9.0 * sd).max())


def _log_prior_of(family: Family, x: FloatArray) -> FloatArray:
    """Log prior density along x, Jacobian of rho = x^2 in."""
    if family == "beta-binomial":
        return log_prior(family, x * x) + np.log(2.0 * x)
    return log_prior(family, x)


def _log_density(family: Family, x: FloatArray, log_evidence: FloatArray) -> FloatArray:
    return log_evidence + _log_prior_of(family, x)


def _dense(
    family: Family, x: FloatArray, log_evidence: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Density of the spread on a fine grid, summing to 1 with its cell widths."""
    top = _TOP[family]
    edges = np.linspace(0.0, top, _DENSE)
    inside = np.linspace(x[0], x[-1], _DENSE)
    grid = np.union1d(edges, inside)
    middle = 0.5 * (grid[1:] + grid[:-1])
    curve = monotone_curve(x, log_evidence, np.clip(middle, x[0], x[-1]))
    below = x[1] - x[0]
    above = x[-1] - x[-2]
    start_slope = (log_evidence[1] - log_evidence[0]) / below
    end_slope = (log_evidence[-1] - log_evidence[-2]) / above
    # outside the scanned range: never rising, falling as at the edge
    curve = curve - np.maximum(start_slope, 0.0) * np.maximum(x[0] - middle, 0.0) * 0.5
    curve = curve + np.minimum(end_slope, 0.0) * np.maximum(middle - x[-1], 0.0)
    log_p = curve + _log_prior_of(family, middle)
    density = np.exp(log_p - log_p.max())
    density /= np.sum(density * np.diff(grid))
    return grid, density


def _quantiles(
    family: Family, x: FloatArray, log_evidence: FloatArray, count: int
) -> tuple[FloatArray, FloatArray]:
    grid, density = _dense(family, x, log_evidence)
    cdf = np.concatenate([[0.0], np.cumsum(density * np.diff(grid))])
    u = (np.arange(count) + 0.5) / count
    at = np.clip(np.searchsorted(cdf, u) - 1, 0, density.size - 1)
    nodes = grid[at] + (u - cdf[at]) / np.maximum(density[at], 1e-300)
    return nodes, np.log(density[at])


def _closer_values(family: Family, x: FloatArray, log_evidence: FloatArray) -> FloatArray | None:
    """Better values to scan, or None when these will do.

    Closer together, over the mean +- 5 SD, when that range is under six of the
    gaps; further out when the posterior has not died away at an end.
    """
    grid, density = _dense(family, x, log_evidence)
    middle = 0.5 * (grid[1:] + grid[:-1])
    mass = density * np.diff(grid)
    mean = float(np.sum(mass * middle))
    sd = float(np.sqrt(np.sum(mass * (middle - mean) ** 2)))
    full = first_values(family)
    alive = _log_density(family, x, log_evidence)
    alive = alive - alive.max() > -_DIED_AWAY
    if (alive[0] and x[0] > 1.01 * full[0]) or (alive[-1] and x[-1] < 0.99 * full[-1]):
        return full
    near = int(np.clip(np.searchsorted(x, mean), 1, x.size - 1))
    gap = float(x[near] - x[near - 1])
    if 10.0 * sd >= 6.0 * gap:
        return None
    low = max(mean - 5.0 * sd, 0.3 * full[0])
    high = min(mean + 5.0 * sd, _TOP[family] * 0.99)
    return np.linspace(low, high, x.size)
