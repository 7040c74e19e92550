"""How likely are the rows of a tray when they share a place among the trays?

P of a row is the quantile Phi(z) of a beta distribution with the row's own mean
and one intra-tray correlation: a tray good for one method is good for the other.
With one row per tray this is the beta-binomial.

Notes
-----
z runs over equal steps within +-4.6: the trapezoidal rule. The steps are .2, and
finer where trays are so large that their place is known better than that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import betaincinv, expit, ndtr

from takestats.models.layered_axes import Axis
from takestats.models.layered_information import Information, held_up, information_of
from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import STEP, cubic_cells, eta_grid
from takestats.models.sampled_modes import Local, Modes, climb

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_REACH = 4.6
_POINTS = 47
_MOST_POINTS = 161
_BLOCK = 150_000
_LEAST = 1e-290
_SCANNED = 5.0


def points(largest: float) -> tuple[FloatArray, FloatArray]:
    """Places z and their log weights, for trays of up to this many grafts."""
    count = int(np.clip(round(_POINTS * np.sqrt(largest / 80.0)), _POINTS, _MOST_POINTS)) | 1
    z = np.linspace(-_REACH, _REACH, count)
    weight = np.exp(-0.5 * z * z)
    return z, np.log(weight / weight.sum())


@dataclass(frozen=True, eq=False, kw_only=True)
class Shares:
    """Log of a row's take and of its complement, as cubics over the log odds.

    Parameters
    ----------
    low : float
        First log odds.
    cells, places : int
        Cells per curve; how many z.
    took, failed : numpy.ndarray
        ``(spreads x places x cells, 4)``.
    """

    low: float
    cells: int
    places: int
    took: FloatArray
    failed: FloatArray

    def at(self, eta: FloatArray, inner: IntArray) -> tuple[IntArray, FloatArray]:
        """Rows of the tables and places within: ``(..., places, patterns)``."""
        t = (eta - self.low) * (1.0 / STEP)
        np.clip(t, 0.0, self.cells - 1e-9, out=t)
        cell = t.astype(np.intp)
        t -= cell
        shape = (slice(None),) + (None,) * eta.ndim
        first = (inner[shape] * self.places + np.arange(self.places)[:, None]) * self.cells
        return first + cell[..., None, :], t[..., None, :]


def shares(rho: FloatArray, z: FloatArray, low: float, high: float) -> Shares:
    """Tabulate the quantiles of the beta distributions of every mean and of these rho."""
    grid = eta_grid(low, high)
    rises, falls = np.empty((2, rho.size, z.size, grid.size))
    c = (1.0 / rho - 1.0)[:, None, None]
    for some, sign, into, other in (
        (grid <= 0.0, 1.0, rises, falls),
        (grid > 0.0, -1.0, falls, rises),
    ):
        eta = sign * grid[some]
        small = betaincinv(c * expit(eta), c * expit(-eta), ndtr(sign * z)[:, None])
        into[:, :, some] = np.log(np.maximum(small, _LEAST))
        other[:, :, some] = np.log1p(-np.minimum(small, 1.0 - 1e-16))
    return Shares(
        low=float(grid[2]),
        cells=grid.size - 5,
        places=z.size,
        took=cubic_cells(rises).reshape(-1, 4),
        failed=cubic_cells(falls).reshape(-1, 4),
    )


@dataclass(frozen=True, eq=False, kw_only=True)
class QuantileModel:
    """Rows of a tray that share a quantile.

    Parameters
    ----------
    rows : LayeredRows
    """

    rows: LayeredRows

    @property
    def axes(self) -> tuple[Axis, Axis]:
        """No unit SD; rho."""
        return Axis(scale=0.0), Axis(scale=None)

    def averaging(self, outer: FloatArray, inner: FloatArray) -> FloatArray:
        """The log odds are those of the averaged take."""
        return np.zeros_like(inner)

    def stand(
        self,
        outer: FloatArray,
        values: FloatArray,
        inner: IntArray,
        start: FloatArray,
        limits: tuple[float, float] | None = None,
    ) -> QuantileStand:
        """Find the peak of the coefficients at each rho. Parameters as for the curves."""
        odds = start @ self.rows.patterns.T
        low, high = limits or (float(odds.min()) - _SCANNED, float(odds.max()) + _SCANNED)
        z, log_w = points(self.rows.largest)
        table = shares(values, z, low, high)
        information = information_of(None, values[inner])
        step = max(1, int(4e5 / (z.size * (self.rows.units + self.rows.patterns.shape[0]))))
        pieces = [
            climb(
                _look(self.rows, table, log_w, information, np.arange(inner.size)[at], inner[at]),
                self.rows.patterns,
                start[at],
            )
            for at in (slice(i, i + step) for i in range(0, inner.size, step))
        ]
        modes = Modes(
            at=np.concatenate([p.at for p in pieces]),
            height=np.concatenate([p.height for p in pieces]),
            scoring=np.concatenate([p.scoring for p in pieces]),
            log_evidence=np.concatenate([p.log_evidence for p in pieces]),
        )
        return QuantileStand(
            model=self,
            outer=outer,
            inner=inner,
            table=table,
            log_w=log_w,
            information=information,
            modes=modes,
        )


@dataclass(frozen=True, eq=False, kw_only=True)
class QuantileStand:
    """Peaks at some nodes. Parameters as for the curves, ``log_w`` the log weights of z."""

    model: QuantileModel
    outer: FloatArray
    inner: IntArray
    table: Shares
    log_w: FloatArray
    information: Information
    modes: Modes

    def log_posterior(self, theta: FloatArray) -> FloatArray:
        """Log likelihood plus log prior of the coefficients, ``(nodes, draws)``."""
        rows, table = self.model.rows, self.table
        nodes, each, _ = theta.shape
        out = np.empty((nodes, each))
        wide = table.places * max(rows.units, rows.patterns.shape[0])
        some_draws = max(1, min(each, _BLOCK // wide))
        some_nodes = max(1, _BLOCK // (wide * each))
        for i in range(0, nodes, some_nodes):
            at = slice(i, i + some_nodes)
            out[at] = self.information.log_prior(rows, theta[at], at)
            for j in range(0, each, some_draws):
                eta = theta[at, j : j + some_draws] @ rows.patterns.T
                value = _log_rows(rows, table, eta, self.inner[at])
                value += self.log_w[:, None]
                top = value.max(axis=-2, keepdims=True)
                value -= top
                np.exp(value, out=value)
                found = np.log(value.sum(axis=-2)) + top[..., 0, :]
                out[at, j : j + some_draws] += found.sum(axis=-1)
        return out


def _log_rows(rows: LayeredRows, table: Shares, eta: FloatArray, inner: IntArray) -> FloatArray:
    """Log likelihood of each unit at each place, ``(nodes, draws, places, units)``."""
    at, t = table.at(eta, inner)
    value = cubic(table.took, at, t) @ rows.taken_by_unit
    value += cubic(table.failed, at, t) @ rows.failed_by_unit
    result: FloatArray = value
    return result


def _look(
    rows: LayeredRows,
    table: Shares,
    log_w: FloatArray,
    information: Information,
    nodes: IntArray,
    inner: IntArray,
) -> Callable[[FloatArray, IntArray], Local]:
    x = rows.patterns
    size = rows.coefficients

    def derivatives(
        which: FloatArray, at: IntArray, t: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        c0, c1, c2, c3 = np.moveaxis(np.take(which, at, axis=0), -1, 0)
        value = c0 + t * (c1 + t * (c2 + t * c3))
        slope = (c1 + t * (2.0 * c2 + 3.0 * t * c3)) / STEP
        bend = (-2.0 * c2 - 6.0 * t * c3) / STEP**2
        return value, slope, bend

    def look(theta: FloatArray, some: IntArray) -> Local:
        at, t = table.at(theta @ x.T, inner[some])
        took = derivatives(table.took, at, t)
        failed = derivatives(table.failed, at, t)
        value = took[0] @ rows.taken_by_unit + failed[0] @ rows.failed_by_unit + log_w[:, None]
        top = value.max(axis=1, keepdims=True)
        share = np.exp(value - top)
        whole = share.sum(axis=1, keepdims=True)
        share /= whole
        log_l = (np.log(whole) + top)[:, 0].sum(axis=-1)
        known = ((share @ rows.taken_by_unit.T) * took[2]).sum(axis=1)
        known += ((share @ rows.failed_by_unit.T) * failed[2]).sum(axis=1)
        scoring = np.einsum("vr,rp,rq->vpq", known, x, x, optimize=True)
        score = np.stack(
            [
                (took[1] * x[:, p]) @ rows.taken_by_unit
                + (failed[1] * x[:, p]) @ rows.failed_by_unit
                for p in range(size)
            ],
            axis=-1,
        )
        mean = np.einsum("vju,vjup->vup", share, score)
        score -= mean[:, None]
        weighted = (score * share[..., None]).reshape(some.size, -1, size)
        scoring -= np.swapaxes(weighted, 1, 2) @ score.reshape(some.size, -1, size)
        height, gradient, least = information.local(rows, theta, nodes[some])
        return Local(
            height=log_l + height,
            gradient=mean.sum(axis=1) + gradient,
            scoring=held_up(scoring, least),
        )

    return look
