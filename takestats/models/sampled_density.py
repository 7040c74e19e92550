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


def log_ways(lines: Lines) -> float:
    """Log binomial coefficients of all lines."""
    n, k = lines.tried, lines.taken
    return float(lines.weight @ (gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)))


def log_posterior(lines: Lines, own: IntArray | None, plan: Plan, theta: FloatArray) -> FloatArray:
    """Log likelihood plus log prior of the coefficients, in blocks of vectors or draws."""
    vectors, each, _ = theta.shape
    tables = plan.tables
    level = np.zeros_like(lines.group) if own is None else own[lines.group]
    row = level if tables.levels > 1 else np.zeros_like(level)
    height = np.empty((vectors, each))
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
            height[part] += lines.prior.log_density(one_graft, theta[part])
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
