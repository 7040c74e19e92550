"""What does one of the averaged models say, draw by draw?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit, logsumexp

from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import STEP, Family, averaged_logit, cubic_cells, eta_grid

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_CHUNK = 2_000_000
_GRID = eta_grid(-30.0, 30.0)
_CELLS = _GRID.size - 5


@dataclass(frozen=True, eq=False, kw_only=True)
class SampledPart:
    """Weighted draws of one of the averaged models.

    Parameters
    ----------
    family : {"beta-binomial", "logit-normal", "binomial"}
    own_spread : bool
        Whether the levels of the first factor have spreads of their own.
    coefficients : numpy.ndarray
        ``(draws, coefficients)`` in the coding of the design that was passed.
    spread : numpy.ndarray
        ``(blocks, levels)``: rho or sigma; every block of
        ``draws / blocks`` draws in a row shares one row. Zero for "binomial".
    log_weight : numpy.ndarray
        Per draw, up to a constant.
    log_evidence : float
        Log of the marginal likelihood, binomial coefficients in.
    probability : float
        Posterior probability of the part, all parts equal beforehand.
    ess : float
        Effective sample size.
    """

    family: Family
    own_spread: bool
    coefficients: FloatArray
    spread: FloatArray
    log_weight: FloatArray
    log_evidence: float
    probability: float
    ess: float

    @property
    def draws(self) -> int:
        """How many draws the part has."""
        return int(self.log_weight.size)

    @property
    def weights(self) -> FloatArray:
        """Weights of the draws; they sum to 1."""
        result: FloatArray = np.exp(self.log_weight - logsumexp(self.log_weight))
        return result

    @cached_property
    def averages(self) -> tuple[IntArray, FloatArray]:
        """Place of each spread in a table of averaged log odds, and the table's cubics."""
        values, index = np.unique(self.spread, return_inverse=True)
        return index.reshape(self.spread.shape), cubic_cells(averaged_logit(values, _GRID)).reshape(
            -1, 4
        )

    @property
    def spread_by_draw(self) -> FloatArray:
        """Spread of every level at every draw, ``(draws, levels)``."""
        return np.repeat(self.spread, self.draws // self.spread.shape[0], axis=0)


def takes_of(part: SampledPart, x: FloatArray, group: IntArray) -> Iterator[FloatArray]:
    """Averaged takes of the part's draws at these rows, in chunks of blocks."""
    blocks = part.spread.shape[0]
    each = part.draws // blocks
    if part.family != "logit-normal":
        step = max(1, _CHUNK // x.shape[0])
        for i in range(0, part.draws, step):
            yield expit(part.coefficients[i : i + step] @ x.T)
        return
    levels = group if part.spread.shape[1] > 1 else np.zeros_like(group)
    coefficients = part.coefficients.reshape(blocks, each, -1)
    index, table = part.averages
    step = max(1, _CHUNK // (8 * x.shape[0] * each))
    for i in range(0, blocks, step):
        t = coefficients[i : i + step] @ x.T
        t -= _GRID[2]
        t /= STEP
        np.clip(t, 0.0, _CELLS - 1e-9, out=t)
        cell = t.astype(np.intp)
        t -= cell
        cell += (index[i : i + step][:, levels] * _CELLS)[:, None, :]
        logit = cubic(table, cell, t)
        yield expit(logit, out=logit).reshape(-1, x.shape[0])
