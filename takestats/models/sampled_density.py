"""How much does the posterior believe in a draw of the coefficients?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammaln

from takestats.models.sampled_plan import Plan

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_BLOCK = 120_000
_FLAT = 1e-280


def log_ways(lines: Lines) -> float:
    """Log binomial coefficients of all lines."""
    n, k = lines.tried, lines.taken
    return float(lines.weight @ (gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)))


def log_posterior(lines: Lines, own: IntArray | None, plan: Plan, theta: FloatArray) -> FloatArray:
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
            height[part] = cubic(tables.likelihood, base + cell, t) @ lines.weight
            if tables.information is None:
                np.abs(eta, out=eta)
                np.negative(eta, out=eta)
                small = np.exp(eta, out=eta)
                one_graft = small / (1.0 + small) ** 2
            else:
                one_graft = np.exp(cubic(tables.information, base_information + cell, t))
            information[part] = one_graft @ squares
    height += 0.5 * log_determinant(information.reshape(-1, upper[0].size), size).reshape(
        vectors, each
    )
    return height


def cubic(table: FloatArray, rows: IntArray, t: FloatArray) -> FloatArray:
    """Read a table of cubics at these rows and places within their cells."""
    c = np.take(table, rows, axis=0)
    value = c[..., 3] * t
    value += c[..., 2]
    value *= t
    value += c[..., 1]
    value *= t
    value += c[..., 0]
    return value


def log_determinant(packed: FloatArray, size: int) -> FloatArray:
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
        np.maximum(pivot, _FLAT, out=pivot)
        total += np.log(pivot)
        scale = np.where(pivot > _FLAT, 1.0 / np.sqrt(pivot), 0.0)
        for i in range(j + 1, size):
            entry = columns[where[(j, i)]].copy()
            for m in range(j):
                entry -= root[(m, j)] * root[(m, i)]
            entry *= scale
            root[(j, i)] = entry
    return total
