"""How does a curve run between the places where it was looked at, without waves of its own?

The curve is that of ``scipy.interpolate.PchipInterpolator``, bit for bit. It is worked out here
because importing ``scipy.interpolate`` took .2 s of what a season page loads before it begins, and
nothing else on the page needs it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_TWO = 2


def monotone_curve(x: Floats, values: Floats, at: Floats, axis: int = 0) -> Floats:
    """Read a smooth curve through these values that rises and falls only where they do.

    Parameters
    ----------
    x : numpy.ndarray
        ``(places,)``, two or more, rising.
    values : numpy.ndarray
        With one entry per place along ``axis``.
    at : numpy.ndarray
        ``(wanted,)``, within ``x``.
    axis : int

    Returns
    -------
    numpy.ndarray
        ``values`` with ``wanted`` entries along ``axis``.

    Notes
    -----
    Piecewise cubic, slopes from the weighted harmonic mean of the two neighbouring rises, none
    where these differ in sign; at the ends from three points, held back from overshooting.

    References
    ----------
    Fritsch & Butland 1984, SIAM J Sci Stat Comput 5:300-304; the ends: Moler 2004, Numerical
    Computing with Matlab, section 3.6. Both from memory; held against scipy in the tests.

    Examples
    --------
    >>> x = np.array([0.0, 1.0, 2.0])
    >>> monotone_curve(x, np.array([0.0, 1.0, 1.0]), np.array([0.5, 1.5])).tolist()
    [0.6875, 1.0]
    """
    y = np.moveaxis(np.asarray(values, dtype=float), axis, 0)
    width = np.diff(x).reshape(-1, *(1,) * (y.ndim - 1))
    rise = np.diff(y, axis=0) / width
    slope = _slopes(width, rise)
    cell = np.clip(np.searchsorted(x, at, side="right") - 1, 0, x.size - 2)
    bend = (slope[:-1] + slope[1:] - 2 * rise) / width
    cubic, square = bend / width, (rise - slope[:-1]) / width - bend
    s = (at - x[cell]).reshape(-1, *(1,) * (y.ndim - 1))
    found = y[cell] + slope[cell] * s + square[cell] * (s * s) + cubic[cell] * (s * s * s)
    result: Floats = np.moveaxis(found, 0, axis)
    return result


def _slopes(width: Floats, rise: Floats) -> Floats:
    """Slope of the curve at every place."""
    if rise.shape[0] < _TWO:
        return np.concatenate([rise, rise])
    before, after = rise[:-1], rise[1:]
    level = (np.sign(after) != np.sign(before)) | (after == 0) | (before == 0)
    near, far = 2 * width[1:] + width[:-1], width[1:] + 2 * width[:-1]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        mean = (near / before + far / after) / (near + far)
        inside = np.where(level, 0.0, 1.0 / mean)
    first = _at_an_end(width[0], width[1], rise[0], rise[1])
    last = _at_an_end(width[-1], width[-2], rise[-1], rise[-2])
    return np.concatenate([first[None], inside, last[None]])


def _at_an_end(here: Floats, next_one: Floats, rise: Floats, next_rise: Floats) -> Floats:
    """Slope at an end from its three points, never against its own rise nor far beyond it."""
    slope = ((2 * here + next_one) * rise - here * next_rise) / (here + next_one)
    turned = np.sign(slope) != np.sign(rise)
    beyond = (np.sign(rise) != np.sign(next_rise)) & (np.abs(slope) > 3.0 * np.abs(rise))
    result: Floats = np.where(turned, 0.0, np.where(beyond, 3.0 * rise, slope))
    return result
