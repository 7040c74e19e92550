"""Which coefficients and spreads does one part of the tray model believe in?

Multivariate-t draws around the peak at each spread vector, from scrambled Sobol
points in one contiguous block per vector, weighted by exact posterior over
proposal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammaincinv, gammaln, logsumexp, ndtri
from scipy.stats import qmc

from takestats.models.sampled_families import Family
from takestats.models.sampled_modes import Modes, find_modes, starting_point
from takestats.models.sampled_spread import (
    Nodes,
    place_nodes,
    rough_icc,
    scan_common,
    scan_levels,
)
from takestats.models.sampled_tables import Tables, make_tables

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_DF = 5.0
_WIDER = 1.3
_ENOUGH = 400.0
_SECOND_LOOK = 32_768
_MANY_PAIRS = 800
_BLOCK = 120_000


@dataclass(frozen=True, eq=False, kw_only=True)
class PartDraws:
    """Weighted draws of one part.

    Parameters
    ----------
    chosen_log_odds : numpy.ndarray
        ``(draws, coefficients)``: in the log odds of the chosen lines.
    spread : numpy.ndarray
        ``(vectors, levels)``: one row per block of draws.
    log_weight : numpy.ndarray
        Log posterior over proposal, per draw.
    log_evidence : float
    ess : float
        Effective sample size.
    """

    chosen_log_odds: FloatArray
    spread: FloatArray
    log_weight: FloatArray
    log_evidence: float
    ess: float


@dataclass(frozen=True, eq=False, kw_only=True)
class _Plan:
    """What the draws of a part stand on."""

    tables: Tables
    vectors: IntArray
    spread: FloatArray
    log_ratio: FloatArray
    modes: Modes


def draw_parts(
    lines: Lines, family: Family, own: IntArray | None, draws: int, seed: int
) -> list[PartDraws]:
    """Draw from a family with one spread and, if ``own`` is given, with own spreads.

    Parameters
    ----------
    lines : Lines
    family : str
    own : numpy.ndarray or None
        For each level of the lines, the spread it has in the second part.
    draws : int
        Draws per part, a power of two.
    seed : int
    """
    start = starting_point(lines)
    if family == "binomial":
        return [_draw_part(lines, family, None, _without_spread(lines, start), draws, seed)]
    common, tables = scan_common(lines, family, start)
    nodes = place_nodes(lines, family, common, _node_count(lines))
    parts = [_draw_part(lines, family, None, _common_plan(lines, family, nodes), draws, seed)]
    if own is not None:
        scan = scan_levels(lines, family, own[lines.group], own[lines.cell_group], common, tables)
        del tables
        own_nodes = place_nodes(lines, family, scan, _node_count(lines))
        plan = _own_plan(lines, family, own, own_nodes, draws, seed)
        parts.append(_draw_part(lines, family, own, plan, draws, seed + 1))
    return parts


def _node_count(lines: Lines) -> int:
    """Spread values per level: 64, so that the outermost stand at 1/128; fewer with many lines.

    Measured on one-factor trials: 32 leave the outer limits .001 too close.
    """
    return 64 if lines.cell_taken.size <= _MANY_PAIRS else 32


def _without_spread(lines: Lines, start: FloatArray) -> _Plan:
    level = np.zeros_like(lines.group)
    cells = np.zeros_like(lines.cell_group)
    vectors = np.zeros((1, 1), dtype=np.intp)
    none = np.zeros((1, 1))
    tables = make_tables(lines, cells, "binomial", none, -30.0, 30.0)
    modes = find_modes(lines, tables, level, vectors, none, start[None, :])
    return _Plan(tables=tables, vectors=vectors, spread=none, log_ratio=np.zeros(1), modes=modes)


def _common_plan(lines: Lines, family: Family, nodes: Nodes) -> _Plan:
    level = np.zeros_like(lines.group)
    cells = np.zeros_like(lines.cell_group)
    tables = make_tables(lines, cells, family, nodes.spread, nodes.low, nodes.high)
    vectors = np.arange(nodes.spread.shape[1])[:, None]
    spread = nodes.spread[0][vectors]
    modes = find_modes(
        lines, tables, level, vectors, rough_icc(family, spread), nodes.start[0].copy()
    )
    return _Plan(
        tables=tables, vectors=vectors, spread=spread, log_ratio=nodes.log_ratio[0], modes=modes
    )


def _own_plan(
    lines: Lines, family: Family, own: IntArray, nodes: Nodes, draws: int, seed: int
) -> _Plan:
    levels, count = nodes.spread.shape
    many = min(256, draws // 32)
    points = qmc.Sobol(levels, scramble=True, rng=np.random.default_rng([seed, 7])).random(many)
    vectors = np.minimum((points * count).astype(np.intp), count - 1)
    at = np.arange(levels)
    spread = nodes.spread[at, vectors]
    start = nodes.centre + (nodes.start[at, vectors] - nodes.centre).sum(axis=1)
    tables = make_tables(lines, own[lines.cell_group], family, nodes.spread, nodes.low, nodes.high)
    modes = find_modes(lines, tables, own[lines.group], vectors, rough_icc(family, spread), start)
    ratio = nodes.log_ratio[at, vectors].sum(axis=1)
    return _Plan(tables=tables, vectors=vectors, spread=spread, log_ratio=ratio, modes=modes)


def _draw_part(
    lines: Lines, family: Family, own: IntArray | None, plan: _Plan, draws: int, seed: int
) -> PartDraws:
    vectors = plan.vectors.shape[0]
    inverse_root = np.linalg.inv(np.linalg.cholesky(plan.modes.scoring))
    centre = plan.modes.at
    part = _weigh(lines, family, own, plan, centre, inverse_root, draws // vectors, seed)
    if part.ess < _ENOUGH:
        size = lines.coefficients
        each = part.chosen_log_odds.reshape(vectors, -1, size)
        roots = np.linalg.inv(np.swapaxes(inverse_root, 1, 2))
        inner = np.einsum("jpq,jdq->jdp", roots, each - centre[:, None, :]).reshape(-1, size)
        weight = np.exp(part.log_weight - logsumexp(part.log_weight))
        shift = weight @ inner
        spread = (inner - shift).T @ ((inner - shift) * weight[:, None])
        spread += 0.05 * np.trace(spread) / size * np.eye(size)
        match = np.linalg.cholesky(spread)
        moved = centre + np.einsum("jqp,q->jp", inverse_root, shift)
        # new inverse root R with R' z spread like (old inverse root)' match z
        root = np.einsum("qr,jqp->jrp", match, inverse_root)
        many = max(draws // vectors, _SECOND_LOOK // vectors)
        part = _weigh(lines, family, own, plan, moved, root, many, seed + 500)
    return part


def _weigh(
    lines: Lines,
    family: Family,
    own: IntArray | None,
    plan: _Plan,
    centre: FloatArray,
    inverse_root: FloatArray,
    each: int,
    seed: int,
) -> PartDraws:
    """Draw around the centres and weigh by exact posterior over proposal."""
    vectors, size = centre.shape
    total = vectors * each
    sobol = qmc.Sobol(size + 1, scramble=True, rng=np.random.default_rng([seed, 3]))
    points = np.clip(sobol.random(total), 1e-12, 1.0 - 1e-12)
    z = ndtri(points[:, :size])
    z *= np.sqrt(_DF / (2.0 * gammaincinv(_DF / 2.0, points[:, size])))[:, None]
    log_t = -0.5 * (_DF + size) * np.log1p(np.einsum("ij,ij->i", z, z) / _DF)
    log_t += gammaln((_DF + size) / 2) - gammaln(_DF / 2) - 0.5 * size * np.log(_DF * np.pi)
    log_t -= size * np.log(_WIDER)
    theta = centre[:, None, :] + _WIDER * np.einsum(
        "jqp,jdq->jdp", inverse_root, z.reshape(vectors, each, size)
    )
    log_volume = np.linalg.slogdet(inverse_root)[1]
    height = _log_posterior(lines, family, own, plan, theta)
    log_weight = height + (plan.log_ratio + log_volume)[:, None] - log_t.reshape(vectors, each)
    flat = log_weight.ravel()
    whole = float(logsumexp(flat))
    return PartDraws(
        chosen_log_odds=theta.reshape(total, size),
        spread=plan.spread,
        log_weight=flat,
        log_evidence=whole - float(np.log(total)) + _log_ways(lines),
        ess=float(np.exp(2.0 * whole - logsumexp(2.0 * flat))),
    )


def _log_ways(lines: Lines) -> float:
    """Log binomial coefficients of all lines."""
    n, k = lines.tried, lines.taken
    return float(lines.weight @ (gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)))


def _log_posterior(
    lines: Lines, family: Family, own: IntArray | None, plan: _Plan, theta: FloatArray
) -> FloatArray:
    """Log likelihood plus log prior of the coefficients, in blocks of vectors or draws."""
    vectors, each, size = theta.shape
    tables = plan.tables
    level = np.zeros_like(lines.group) if own is None else own[lines.group]
    row = level if tables.levels > 1 else np.zeros_like(level)
    upper = np.triu_indices(size)
    squares = lines.basis[:, upper[0]] * lines.basis[:, upper[1]]
    squares = squares * (lines.weight * lines.tried)[:, None]
    height = np.empty((vectors, each))
    information = np.empty((vectors, each, upper[0].size))
    some_draws = max(1, min(each, _BLOCK // lines.size))
    some_vectors = max(1, _BLOCK // (lines.size * each))
    for i in range(0, vectors, some_vectors):
        block = slice(i, i + some_vectors)
        values = plan.vectors[block][:, level]
        base = ((values * tables.pairs + lines.cell) * tables.cells)[:, None, :]
        base_information = ((values * tables.levels + row) * tables.cells)[:, None, :]
        for j in range(0, each, some_draws):
            part = (block, slice(j, j + some_draws))
            eta = theta[part] @ lines.basis.T
            cell, t = tables.place(eta)
            height[part] = _cubic(tables.likelihood, base + cell, t) @ lines.weight
            if tables.information is None:
                np.abs(eta, out=eta)
                np.negative(eta, out=eta)
                small = np.exp(eta, out=eta)
                one_graft = small / (1.0 + small) ** 2
            else:
                one_graft = np.exp(_cubic(tables.information, base_information + cell, t))
            information[part] = one_graft @ squares
    height += 0.5 * _log_determinant(information.reshape(-1, upper[0].size), size).reshape(
        vectors, each
    )
    return height


def _cubic(table: FloatArray, rows: IntArray, t: FloatArray) -> FloatArray:
    c = np.take(table, rows, axis=0)
    value = c[..., 3] * t
    value += c[..., 2]
    value *= t
    value += c[..., 1]
    value *= t
    value += c[..., 0]
    return value


def _log_determinant(packed: FloatArray, size: int) -> FloatArray:
    """Log determinant of many small symmetric matrices, their upper triangles in rows."""
    columns = np.ascontiguousarray(packed.T)
    pairs = [(j, i) for j in range(size) for i in range(j, size)]
    where = {pair: i for i, pair in enumerate(pairs)}
    root: dict[tuple[int, int], FloatArray] = {}
    total = np.zeros(packed.shape[0])
    for j in range(size):
        pivot = columns[where[(j, j)]].copy()
        for m in range(j):
            pivot -= root[(m, j)] ** 2
        np.maximum(pivot, 1e-300, out=pivot)
        total += np.log(pivot)
        scale = 1.0 / np.sqrt(pivot)
        for i in range(j + 1, size):
            entry = columns[where[(j, i)]].copy()
            for m in range(j):
                entry -= root[(m, j)] * root[(m, i)]
            entry *= scale
            root[(j, i)] = entry
    return total
