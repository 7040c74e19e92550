"""How likely are the rows of a unit when its effect shifts their log odds together?

logit = x b + outer z + what a row adds for itself. What a row adds is in its
tabulated curve (beta-binomial or logit-normal); z is summed over points that
follow each unit's own peak.

Notes
-----
Gauss-Hermite adapted to each unit (Pinheiro & Bates 1995, J Comput Graph Stat
4:12-35) at the peak of the coefficients; for a draw of the coefficients the
points move along the tangent of the unit's peak.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.layered_axes import Axis
from takestats.models.layered_climb import climbed
from takestats.models.layered_information import (
    CELLS,
    GRID,
    Information,
    information_of,
    place,
)
from takestats.models.layered_units import LONGEST, WIDER, bent, hermite
from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import Family, cubic_cells, log_likelihood
from takestats.models.sampled_modes import ROUNDS, Modes

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_STEPS = 2
_BLOCK = 150_000


@dataclass(frozen=True, eq=False, kw_only=True)
class CurveModel:
    """A unit effect on the log odds, with a family of curves for the rows.

    Parameters
    ----------
    rows : LayeredRows
    family : {"beta-binomial", "logit-normal"}
        Of the rows.
    axes : tuple of Axis
        The unit's SD; the rows' own spread.
    """

    rows: LayeredRows
    family: Family
    axes: tuple[Axis, Axis]

    def curves(self, spread: FloatArray) -> FloatArray:
        """Cubic tables of the rows' log likelihood, ``(spreads, curves, cells, 4)``."""
        family: Family = self.family
        if family == "logit-normal" and not spread.any():
            family = "binomial"
        rows = self.rows
        values = log_likelihood(family, spread, rows.pair_taken, rows.pair_tried, GRID)
        return cubic_cells(rows.curve_pairs @ values)

    def averaging(self, outer: FloatArray, inner: FloatArray) -> FloatArray:
        """SD of the log odds that an averaged take is averaged over."""
        if self.family == "beta-binomial":
            return outer
        result: FloatArray = np.hypot(outer, inner)
        return result

    def stand(
        self,
        outer: FloatArray,
        values: FloatArray,
        inner: IntArray,
        start: FloatArray,
        rounds: int = ROUNDS,
    ) -> CurveStand:
        """Find the peak of the coefficients at each pair of spreads.

        Parameters
        ----------
        outer : numpy.ndarray
            ``(nodes,)``.
        values, inner : numpy.ndarray
            Distinct inner spreads, and which of them each node has.
        start : numpy.ndarray
            ``(nodes, coefficients)``.
        rounds : int
            Steps of the climb at most; few of them are enough for the evidence.
        """
        total = self.averaging(outer, values[inner])
        icc = total**2 / (total**2 + np.pi**2 / 3.0)
        if self.family == "beta-binomial":
            icc = icc + (1.0 - icc) * values[inner]
        information = information_of(total, icc)
        table = self.curves(values).reshape(-1, 4)
        step = max(1, int(4e5 / (self.rows.rows * self.rows.points)))
        pieces = [
            climbed(self.rows, outer, inner, information, table, start, slice(i, i + step), rounds)
            for i in range(0, outer.size, step)
        ]
        return CurveStand(
            model=self,
            outer=outer,
            inner=inner,
            table=table,
            information=information,
            modes=Modes(
                at=np.concatenate([p[0].at for p in pieces]),
                height=np.concatenate([p[0].height for p in pieces]),
                scoring=np.concatenate([p[0].scoring for p in pieces]),
                log_evidence=np.concatenate([p[0].log_evidence for p in pieces]),
            ),
            centre=np.concatenate([p[1] for p in pieces]),
            drift=np.concatenate([p[2] for p in pieces]),
        )


@dataclass(frozen=True, eq=False, kw_only=True)
class CurveStand:
    """Peaks at some nodes, and the points each unit's effect is summed over there.

    Parameters
    ----------
    model : CurveModel
    outer, inner : numpy.ndarray
        ``(nodes,)``: the unit's SD; place of the rows' spread in the table.
    table : numpy.ndarray
        Curves of the rows, ``(spreads x curves x cells, 4)``.
    information : Information
    modes : Modes
    centre : numpy.ndarray
        ``(nodes, units)``: peak of each unit's effect.
    drift : numpy.ndarray
        ``(nodes, coefficients, units)``: how the peak moves with the coefficients.
    """

    model: CurveModel
    outer: FloatArray
    inner: IntArray
    table: FloatArray
    information: Information
    modes: Modes
    centre: FloatArray
    drift: FloatArray

    def log_posterior(self, theta: FloatArray, first_node: int = 0) -> FloatArray:
        """Log likelihood plus log prior of the coefficients, ``(nodes, draws)``.

        Parameters
        ----------
        theta : numpy.ndarray
            ``(nodes, draws, coefficients)``.
        first_node : int
            Where the nodes of ``theta`` begin among those of the stand.
        """
        rows = self.model.rows
        nodes, each, _ = theta.shape
        t, log_w = hermite(rows.points)
        out = np.empty((nodes, each))
        some_draws = max(1, min(each, _BLOCK // (rows.rows * rows.points)))
        some_nodes = max(1, _BLOCK // (rows.rows * rows.points * each))
        for i in range(0, nodes, some_nodes):
            here = slice(i, min(i + some_nodes, nodes))
            at = slice(first_node + here.start, first_node + here.stop)
            out[here] = self.information.log_prior(rows, theta[here], at)
            first = (self.inner[at][:, None] * rows.curve_pairs.shape[0] + rows.curve) * CELLS
            first = first[:, None, :]
            for j in range(0, each, some_draws):
                draws = theta[here, j : j + some_draws]
                moved = (draws - self.modes.at[at][:, None, :]) @ self.drift[at]
                centre = self.centre[at][:, None, :] + moved
                eta = (draws @ rows.patterns.T)[..., rows.pattern]
                a = self.outer[at][:, None, None]
                for _ in range(1 if rows.many else _STEPS):
                    slope, bend = bent(self.table, eta + a * centre[..., rows.unit], first)
                    curved = 1.0 + a * a * rows.by_unit(bend, axis=2)
                    step = (a * rows.by_unit(slope, axis=2) - centre) / curved
                    centre += np.clip(step, -LONGEST, LONGEST)
                width = WIDER / np.sqrt(curved)
                z = centre[..., None] + width[..., None] * t
                cell, inside = place(eta[..., None] + (a[..., None] * z)[:, :, rows.unit])
                cell += first[..., None]
                value = rows.by_unit(cubic(self.table, cell, inside), axis=2)
                z *= z
                z *= -0.5
                value += z
                value += log_w
                top = value.max(axis=-1, keepdims=True)
                value -= top
                np.exp(value, out=value)
                found = np.log(value.sum(axis=-1) * width) + top[..., 0]
                out[here, j : j + some_draws] += found.sum(axis=-1)
        return out
