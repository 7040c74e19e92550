"""How likely are trays that stand in two groupings at once? Laplace over the groups' effects.

logit = x b + first SD times u + second SD times v + the tray's own, u the effect of its
block, v that of its grafter, say. The effects are summed out by Laplace's approximation
at every draw of the coefficients: their second derivatives are diagonal within each
grouping, so only a matrix of the smaller grouping has to be solved.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.layered_information import (
    CELLS,
    GRID,
    Information,
    held_up,
    information_of,
    place,
)
from takestats.models.layered_units import bent
from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import cubic_cells, log_likelihood
from takestats.models.sampled_modes import Local, Modes, climb

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_BLOCK = 400_000
_STEPS = 4
_AT_THE_PEAK = 12
_LONGEST = 3.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Effects:
    """Peak of all effects at some points, and their second derivatives there.

    Parameters
    ----------
    first, second : numpy.ndarray
        ``(points, groups)``: effects of both groupings, in units of their SD.
    own : numpy.ndarray
        ``(points, first groups)``: diagonal block of the first grouping.
    cross : numpy.ndarray
        ``(points, first groups, second groups)``.
    left : numpy.ndarray
        ``(points, second groups, second groups)``: what the second grouping has
        left when the first is solved for.
    eta : numpy.ndarray
        ``(points, rows)``: log odds with the effects.
    """

    first: FloatArray
    second: FloatArray
    own: FloatArray
    cross: FloatArray
    left: FloatArray
    eta: FloatArray


@dataclass(frozen=True, eq=False, kw_only=True)
class CrossedModel:
    """Trays in two groupings.

    Parameters
    ----------
    rows : LayeredRows
        The units are the pairs of groups that occur.
    first, second : numpy.ndarray
        ``(rows, groups)``: 1 where a row stands in a group.
    """

    rows: LayeredRows
    first: FloatArray
    second: FloatArray

    def stand(self, spreads: FloatArray, start: FloatArray) -> CrossedStand:
        """Find the peak of the coefficients at each triple of spreads.

        Parameters
        ----------
        spreads : numpy.ndarray
            ``(nodes, 3)``: SDs of the first and second grouping and of trays.
        start : numpy.ndarray
            ``(nodes, coefficients)``.
        """
        rows = self.rows
        values, inner = np.unique(spreads[:, 2], return_inverse=True)
        curves = log_likelihood("logit-normal", values, rows.pair_taken, rows.pair_tried, GRID)
        table = cubic_cells(rows.curve_pairs @ curves).reshape(-1, 4)
        total = np.sqrt((spreads**2).sum(axis=1))
        information = information_of(total, total**2 / (total**2 + np.pi**2 / 3.0))
        base = (inner.ravel()[:, None] * rows.curve_pairs.shape[0] + rows.curve) * CELLS
        nodes = np.arange(spreads.shape[0])
        basis = rows.basis
        u = np.zeros((nodes.size, self.first.shape[1]))
        v = np.zeros((nodes.size, self.second.shape[1]))

        def settle(theta: FloatArray, some: IntArray, turns: int) -> Effects:
            found = self.effects(
                table, base[some], theta @ basis.T, spreads[some], (u[some], v[some]), turns
            )
            u[some], v[some] = found.first, found.second
            return found

        def look(theta: FloatArray, some: IntArray) -> Local:
            found = settle(theta, some, _STEPS)
            cell, t = place(found.eta)
            value = cubic(table, cell + base[some], t).sum(axis=1)
            value -= 0.5 * ((found.first**2).sum(axis=1) + (found.second**2).sum(axis=1))
            slope, bend = bent(table, found.eta, base[some])
            height, gradient, least = information.local(rows, theta, nodes[some])
            scoring = np.einsum("vr,rp,rq->vpq", bend, basis, basis, optimize=True)
            scoring -= self._taken_up(found, bend, spreads[some])
            return Local(
                height=value + height,
                gradient=slope @ basis + gradient,
                scoring=held_up(scoring, least),
            )

        modes = climb(look, basis, start)
        found = settle(modes.at, nodes, _AT_THE_PEAK)
        correction = 0.5 * _log_det(found)
        return CrossedStand(
            model=self,
            spreads=spreads,
            base=base,
            table=table,
            information=information,
            modes=Modes(
                at=modes.at,
                height=modes.height - correction,
                scoring=modes.scoring,
                log_evidence=modes.log_evidence - correction,
            ),
            first=found.first,
            second=found.second,
        )

    def _taken_up(self, found: Effects, bend: FloatArray, spreads: FloatArray) -> FloatArray:
        """Information on the coefficients that the effects take up."""
        basis = self.rows.basis
        weighted = bend[:, :, None] * basis
        a = spreads[:, 0, None, None] * np.einsum("rg,vrp->vgp", self.first, weighted)
        b = spreads[:, 1, None, None] * np.einsum("rg,vrp->vgp", self.second, weighted)
        scaled = a / found.own[..., None]
        rest = b - np.swapaxes(found.cross, 1, 2) @ scaled
        of_first: FloatArray = np.swapaxes(a, 1, 2) @ scaled
        of_second: FloatArray = np.swapaxes(rest, 1, 2) @ np.linalg.solve(found.left, rest)
        return of_first + of_second

    def effects(
        self,
        table: FloatArray,
        base: IntArray,
        eta: FloatArray,
        spreads: FloatArray,
        start: tuple[FloatArray, FloatArray],
        turns: int,
    ) -> Effects:
        """Climb to the peak of all effects by Newton's steps.

        Parameters
        ----------
        table : numpy.ndarray
            Curves of the rows.
        base : numpy.ndarray
            ``(points, rows)``: first cell of each row's curve.
        eta : numpy.ndarray
            ``(points, rows)``: log odds without effects.
        spreads : numpy.ndarray
            ``(points, 3)``.
        start : tuple of numpy.ndarray
            Effects of both groupings.
        turns : int
        """
        u, v = start
        a, b = spreads[:, :1], spreads[:, 1:2]
        groups = (self.first.shape[1], self.second.shape[1])
        pairs = (self.first[:, :, None] * self.second[:, None, :]).reshape(self.rows.rows, -1)
        for turn in range(turns + 1):
            at = eta + a * (u @ self.first.T) + b * (v @ self.second.T)
            slope, bend = bent(table, at, base)
            own = 1.0 + a * a * (bend @ self.first)
            cross = (a * b)[..., None] * (bend @ pairs).reshape(-1, *groups)
            scaled = cross / own[..., None]
            left = -np.swapaxes(cross, 1, 2) @ scaled
            places = np.arange(groups[1])
            left[:, places, places] += 1.0 + b * b * (bend @ self.second)
            if turn == turns:
                break
            up = a * (slope @ self.first) - u
            across = b * (slope @ self.second) - v
            rest = across - np.einsum("vgh,vg->vh", scaled, up)
            step_v = np.linalg.solve(left, rest[..., None])[..., 0]
            step_u = (up - np.einsum("vgh,vh->vg", cross, step_v)) / own
            longest = np.maximum(np.abs(a * step_u).max(axis=1), np.abs(b * step_v).max(axis=1))
            share = np.minimum(1.0, _LONGEST / np.maximum(longest, 1e-12))[:, None]
            u, v = u + share * step_u, v + share * step_v
        return Effects(first=u, second=v, own=own, cross=cross, left=left, eta=at)


@dataclass(frozen=True, eq=False, kw_only=True)
class CrossedStand:
    """Peaks at some nodes.

    Parameters
    ----------
    model : CrossedModel
    spreads : numpy.ndarray
        ``(nodes, 3)``.
    base : numpy.ndarray
        ``(nodes, rows)``: first cell of each row's curve.
    table : numpy.ndarray
    information : Information
    modes : Modes
    first, second : numpy.ndarray
        ``(nodes, groups)``: effects at the peaks.
    """

    model: CrossedModel
    spreads: FloatArray
    base: IntArray
    table: FloatArray
    information: Information
    modes: Modes
    first: FloatArray
    second: FloatArray

    def effects_of(self, theta: FloatArray, nodes: IntArray) -> Effects:
        """Peak of all effects at draws of these nodes."""
        rows = self.model.rows
        return self.model.effects(
            self.table,
            self.base[nodes],
            theta @ rows.basis.T,
            self.spreads[nodes],
            (self.first[nodes], self.second[nodes]),
            _STEPS,
        )

    def log_posterior(self, theta: FloatArray) -> FloatArray:
        """Log likelihood plus log prior of the coefficients, ``(nodes, draws)``."""
        model = self.model
        nodes, each, size = theta.shape
        out = np.empty((nodes, each))
        wide = max(model.rows.rows, model.first.shape[1] * model.second.shape[1])
        step = max(1, _BLOCK // (wide * each))
        for i in range(0, nodes, step):
            at = slice(i, i + step)
            which = np.repeat(np.arange(nodes)[at], each)
            found = self.effects_of(theta[at].reshape(-1, size), which)
            cell, t = place(found.eta)
            value = cubic(self.table, cell + self.base[which], t).sum(axis=1)
            value -= 0.5 * ((found.first**2).sum(axis=1) + (found.second**2).sum(axis=1))
            value -= 0.5 * _log_det(found)
            out[at] = value.reshape(-1, each)
            out[at] += self.information.log_prior(model.rows, theta[at], at)
        return out


def _log_det(found: Effects) -> FloatArray:
    result: FloatArray = np.log(found.own).sum(axis=1) + np.linalg.slogdet(found.left)[1]
    return result
