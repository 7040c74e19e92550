"""Where do the coefficients peak at each pair of spreads, every unit's effect summed out?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takestats.models.layered_information import CELLS, Information, held_up
from takestats.models.layered_units import WIDER, derivatives, hermite, unit_peaks
from takestats.models.sampled_modes import ROUNDS, Local, Modes, climb

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_LOOKS, _AT_THE_PEAK = 3, 12


def climbed(
    rows: LayeredRows,
    outer: FloatArray,
    inner: IntArray,
    information: Information,
    table: FloatArray,
    start: FloatArray,
    piece: slice,
    rounds: int = ROUNDS,
) -> tuple[Modes, FloatArray, FloatArray]:
    """Peaks of some nodes, the units' peaks there, and how these move with the coefficients.

    The information at a peak is the rows' curvature averaged over each unit's points,
    less the variance of the unit's score over them. With few ``rounds`` the climb stops on
    its way, near enough for Laplace's evidence.
    """
    sd = outer[piece]
    nodes = np.arange(outer.size)[piece]
    first = (inner[piece][:, None] * rows.curve_pairs.shape[0] + rows.curve) * CELLS
    centre = np.zeros((sd.size, rows.units))
    basis = rows.basis
    t, log_w = hermite(rows.points)

    def settle(theta: FloatArray, some: IntArray, turns: int) -> tuple[FloatArray, FloatArray]:
        found = unit_peaks(rows, table, first[some], theta @ basis.T, sd[some], centre[some], turns)
        centre[some] = found[0]
        return found[1], found[2]

    def look(theta: FloatArray, some: IntArray) -> Local:
        curved, _ = settle(theta, some, _LOOKS)
        width = WIDER / np.sqrt(curved)
        z = centre[some][..., None] + width[..., None] * t
        eta = (theta @ basis.T)[..., None] + sd[some][:, None, None] * z[:, rows.unit]
        value, slope, bend = derivatives(table, eta, first[some][..., None])
        total = rows.by_unit(value, axis=1) - 0.5 * z * z + log_w + np.log(width)[..., None]
        top = total.max(axis=-1, keepdims=True)
        share = np.exp(total - top)
        whole = share.sum(axis=-1, keepdims=True)
        share /= whole
        log_l = (np.log(whole) + top)[..., 0].sum(axis=-1)
        by_row = share[:, rows.unit]
        known = (by_row * bend).sum(axis=-1)
        scoring = basis.T @ (known[:, :, None] * basis)
        score = rows.scores(slope)
        mean = (share[:, :, None, :] @ score)[:, :, 0, :]
        score -= mean[:, :, None, :]
        weighted = score * share[..., None]
        size = rows.coefficients
        scoring -= np.swapaxes(weighted.reshape(some.size, -1, size), 1, 2) @ score.reshape(
            some.size, -1, size
        )
        height, gradient, least = information.local(rows, theta, nodes[some])
        return Local(
            height=log_l + height,
            gradient=mean.sum(axis=1) + gradient,
            scoring=held_up(scoring, least),
        )

    modes = climb(look, basis, start[piece], rounds)
    everyone = np.arange(sd.size)
    curved, bend = settle(modes.at, everyone, _AT_THE_PEAK if rounds == ROUNDS else _LOOKS)
    towards = -(sd[:, None] * bend)[:, :, None] * basis
    drift = rows.by_unit(towards, axis=1) / curved[..., None]
    return modes, centre, np.swapaxes(drift, 1, 2)
