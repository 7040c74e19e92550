"""How much does a graft tell of the take averaged over every layer? The prior rests on it.

The prior on the coefficients is that of :mod:`takestats.models.sampled_prior`, m the
take averaged over groups, trays and rows, g = d logit(m) / d log odds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import (
    EDGE,
    STEP,
    cubic_cells,
    eta_grid,
    log_information_curve,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

GRID = eta_grid(-EDGE, EDGE)
LOW = float(GRID[2])
CELLS = int(GRID.size - 5)
_LEAST_SHARE = 0.1
_MOST_CURVES = 64


def place(eta: FloatArray) -> tuple[IntArray, FloatArray]:
    """Cell and place within the cell of each log odds; outside ones sit at the edge."""
    at = (eta - LOW) * (1.0 / STEP)
    np.clip(at, 0.0, CELLS - 1e-9, out=at)
    cell = at.astype(np.intp)
    at -= cell
    return cell, at


@dataclass(frozen=True, eq=False, kw_only=True)
class Information:
    """Log information of one graft, at each node.

    Parameters
    ----------
    table : numpy.ndarray or None
        ``(nodes x cells, 4)``; None where the averaged log odds are the log odds.
    icc : numpy.ndarray
        ``(nodes,)``: rough intra-unit correlation.
    """

    table: FloatArray | None
    icc: FloatArray

    def log_prior(self, rows: LayeredRows, theta: FloatArray, some: slice) -> FloatArray:
        """Log prior of the coefficients, ``(nodes, draws)``, at draws of the nodes ``some``."""
        eta = theta @ rows.patterns.T
        if self.table is None:
            small = np.exp(-np.abs(eta))
            one_graft = small / (1.0 + small) ** 2
        else:
            cell, t = place(eta)
            first = np.arange(self.icc.size)[some] * CELLS
            one_graft = np.exp(cubic(self.table, first[:, None, None] + cell, t))
        return rows.prior.log_density(one_graft, theta)

    def local(
        self, rows: LayeredRows, theta: FloatArray, some: IntArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Height and gradient of the log prior, and the least scoring matrix worth trusting."""
        size = rows.coefficients
        eta = theta @ rows.patterns.T
        if self.table is None:
            small = np.exp(-np.abs(eta))
            one_graft = small / (1.0 + small) ** 2
            drift = -np.sign(eta) * (1.0 - small) / (1.0 + small)
        else:
            cell, t = place(eta)
            c = np.take(self.table, some[:, None] * CELLS + cell, axis=0)
            c0, c1, c2, c3 = np.moveaxis(c, -1, 0)
            one_graft = np.exp(c0 + t * (c1 + t * (c2 + t * c3)))
            drift = (c1 + t * (2.0 * c2 + 3.0 * t * c3)) / STEP
        x = rows.patterns
        known = rows.pattern_tried * one_graft
        if rows.many:
            information = x.T @ (known[:, :, None] * x)
        else:
            squares = (x[:, :, None] * x[:, None, :]).reshape(x.shape[0], size * size)
            information = (known @ squares).reshape(-1, size, size)
        grafts = rows.pattern_tried.sum() / rows.units
        least = (
            information * (_LEAST_SHARE / (1.0 + (grafts - 1.0) * self.icc[some]))[:, None, None]
        )
        pull, held = rows.prior.pull(theta)
        height = rows.prior.log_density(one_graft, theta)
        leverage = rows.prior.leverage(one_graft)
        return height, (0.5 * leverage * drift) @ x + pull, least + held


def information_of(spread: FloatArray | None, icc: FloatArray) -> Information:
    """Information at nodes where the log odds have this SD over every averaged layer."""
    if spread is None:
        return Information(table=None, icc=icc)
    values, back = np.unique(spread, return_inverse=True)
    if values.size <= _MOST_CURVES:
        curves = log_information_curve("logit-normal", values, GRID)[back.ravel()]
    else:
        # Smooth along the SD: straight between curves that stand this close (error .001).
        known = np.linspace(values[0], values[-1], _MOST_CURVES)
        table = log_information_curve("logit-normal", known, GRID)
        at = np.interp(spread, known, np.arange(known.size, dtype=np.float64))
        left = np.minimum(at.astype(np.intp), known.size - 2)
        inside = (at - left)[:, None]
        curves = (1.0 - inside) * table[left] + inside * table[left + 1]
    table = cubic_cells(curves)
    return Information(table=table.reshape(-1, 4), icc=icc)


def held_up(scoring: FloatArray, least: FloatArray) -> FloatArray:
    """Scoring matrices whose every direction knows at least what ``least`` says."""
    try:
        np.linalg.cholesky(scoring - least)
        return scoring
    except np.linalg.LinAlgError:
        pass
    root = np.linalg.cholesky(least + 1e-12 * np.eye(least.shape[-1]))
    inverse = np.linalg.inv(root)
    inner = inverse @ scoring @ np.swapaxes(inverse, -1, -2)
    values, vectors = np.linalg.eigh(0.5 * (inner + np.swapaxes(inner, -1, -2)))
    left = root @ vectors
    result: FloatArray = (left * np.maximum(values, 1.0)[:, None, :]) @ np.swapaxes(left, -1, -2)
    return result
