"""Where does each unit's own effect peak, and how sharply?

The rows' curves are cubics over the log odds; a unit's effect z is standard normal
beforehand and shifts the log odds of all its rows by its SD times z.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takestats.models.layered_information import place
from takestats.models.sampled_families import STEP

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

WIDER = 1.15
LONGEST = 1.0
_EDGE = 9.0


def hermite(count: int) -> tuple[FloatArray, FloatArray]:
    """Points t and log weights: a sum over them is an integral over t of the normal curve times."""
    t, w = np.polynomial.hermite_e.hermegauss(count)
    return np.asarray(t), np.log(w) + 0.5 * t * t - 0.5 * np.log(2.0 * np.pi)


def unit_peaks(
    rows: LayeredRows,
    table: FloatArray,
    base: IntArray,
    eta: FloatArray,
    sd: FloatArray,
    start: FloatArray,
    turns: int,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Climb to the peak of each unit's effect, by Newton's steps kept inside a bracket.

    Parameters
    ----------
    rows : LayeredRows
    table : numpy.ndarray
        Cubic tables of the curves.
    base : numpy.ndarray
        ``(nodes, rows)``: first cell of each row's curve.
    eta : numpy.ndarray
        ``(nodes, rows)``: log odds without the effect.
    sd : numpy.ndarray
        ``(nodes,)``: the SD of the effects.
    start : numpy.ndarray
        ``(nodes, units)``.
    turns : int

    Returns
    -------
    (peak, curved, bend)
        ``(nodes, units)`` twice: peak and curvature there; ``(nodes, rows)``: the
        part of the curvature that each row brings, before the SD.
    """
    a = sd[:, None]
    z = start
    low, high = np.full_like(z, -_EDGE), np.full_like(z, _EDGE)
    for turn in range(turns + 1):
        slope, bend = bent(table, eta + a * z[:, rows.unit], base)
        curved = 1.0 + a * a * rows.by_unit(bend, axis=1)
        if turn < turns:
            rise = a * rows.by_unit(slope, axis=1) - z
            low, high = np.where(rise > 0, z, low), np.where(rise > 0, high, z)
            step = np.clip(rise / curved, -LONGEST, LONGEST)
            there = (np.abs(step) < 1e-9) | ((z + step > low) & (z + step < high))
            z = np.where(there, z + step, 0.5 * (low + high))
    return z, curved, bend


def bent(table: FloatArray, eta: FloatArray, base: IntArray) -> tuple[FloatArray, FloatArray]:
    """Slope, and curvature where it is downwards, of each row's curve."""
    cell, t = place(eta)
    cell += base
    c = np.take(table, cell, axis=0)
    c2, c3 = 2.0 * c[..., 2], 3.0 * c[..., 3]
    slope = (c[..., 1] + t * (c2 + t * c3)) / STEP
    return slope, np.maximum((-c2 - 2.0 * t * c3) / STEP**2, 0.0)


def derivatives(
    table: FloatArray, eta: FloatArray, base: IntArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Value, slope and curvature of each row's curve."""
    cell, t = place(eta)
    c0, c1, c2, c3 = np.moveaxis(np.take(table, base + cell, axis=0), -1, 0)
    value = c0 + t * (c1 + t * (c2 + t * c3))
    slope = (c1 + t * (2.0 * c2 + 3.0 * t * c3)) / STEP
    return value, slope, (-2.0 * c2 - 6.0 * t * c3) / STEP**2
