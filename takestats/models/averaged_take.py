"""What take does a tray effect average to, and what tray effect gives this averaged take?

In the logit-normal part a tray's take is ``expit(theta + sigma z)``, z standard
normal. Its average over trays is the take a grower sees; ``theta`` is the take
of the middle tray on the logit scale.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

# Trapezoid in z: the logistic curve's poles lie pi / sigma off the axis, so the
# error is about exp(-2 pi^2 / (sigma step)): below 1e-13 for sigma up to 6.
_STEP = 0.1
_Z = np.asarray(np.arange(-85, 86) * _STEP, dtype=np.float64)
_WEIGHT = np.exp(-0.5 * _Z * _Z)
_WEIGHT = _WEIGHT / _WEIGHT.sum()
# Twice the step where many pairs are averaged: the error is below 1e-9 up to sigma 4.4.
COARSE_Z = np.asarray(np.arange(-40, 41) * 0.2, dtype=np.float64)
COARSE_WEIGHT = np.exp(-0.5 * COARSE_Z * COARSE_Z) / np.exp(-0.5 * COARSE_Z * COARSE_Z).sum()
# Four times the step where trays are only looked over.
_ROUGH_Z = np.asarray(np.arange(-14, 15) * 0.4, dtype=np.float64)
_ROUGH_WEIGHT = np.exp(-0.5 * _ROUGH_Z * _ROUGH_Z) / np.exp(-0.5 * _ROUGH_Z * _ROUGH_Z).sum()
_CHUNK = 16384
_IN_CACHE = 256


def averaged(theta: Floats, sigma: Floats) -> tuple[Floats, Floats]:
    """Average the take and its complement over trays.

    Parameters
    ----------
    theta, sigma : ndarray
        Broadcast against each other.

    Returns
    -------
    tuple of ndarray
        ``E expit(theta + sigma z)`` and ``E expit(-theta - sigma z)``.
    """
    inner = np.asarray(theta)[..., None] + np.asarray(sigma)[..., None] * _Z
    lost = special.expit(-inner)
    return (1.0 - lost) @ _WEIGHT, lost @ _WEIGHT


def theta_of_take(phi: Floats, sigma: Floats) -> Floats:
    """Find the logit of the middle tray that averages to this take.

    Parameters
    ----------
    phi : ndarray of shape (cells,)
        ``asin sqrt(averaged take)``, strictly inside 0 to pi / 2.
    sigma : ndarray of shape (nodes,)
        Tray standard deviations on the logit scale.

    Returns
    -------
    ndarray of shape (nodes, cells)
        ``theta``, by Newton steps on the logit of the averaged take.
    """
    return _middle(2.0 * np.log(np.tan(phi)), np.asarray(sigma)[:, None], _Z, _WEIGHT)


def same_tray_log_odds(takes: Floats, sigmas: Floats) -> Floats:
    """Logit of the middle tray behind each averaged take, pair by pair, same shape as ``takes``."""
    target = special.logit(np.clip(takes.reshape(-1), 1e-12, 1.0 - 1e-12))
    width = sigmas.reshape(-1)
    out = np.empty_like(target)
    for start in range(0, target.size, _CHUNK):
        part = slice(start, start + _CHUNK)
        out[part] = _middle(target[part], width[part], COARSE_Z, COARSE_WEIGHT)
    return out.reshape(takes.shape)


def _middle(target: Floats, sigma: Floats, z: Floats, weight: Floats) -> Floats:
    """Newton steps from the scaled logit to the theta whose averaged take has this logit.

    The start: Zeger, Liang & Albert 1988, Biometrics 44:1049, eq. 3.3.
    """
    theta = target * np.sqrt(1.0 + 0.346 * sigma**2)
    for _ in range(40):
        inner = theta[..., None] + sigma[..., None] * z
        lost = special.expit(-inner)
        fails = lost @ weight
        takes = special.expit(inner) @ weight
        slope = (lost * (1.0 - lost)) @ weight / (takes * fails)
        step = (np.log(takes / fails) - target) / slope
        theta = theta - np.clip(step, -4.0, 4.0)
        if np.max(np.abs(step)) < 1e-10:
            break
    return theta


def rough_take_and_correlation(theta: Floats, sigma: Floats) -> tuple[Floats, Floats]:
    """Averaged take and intra-tray correlation over a coarse sum: to pick trays by.

    Within 1e-6 for sigma up to 3, within .001 up to 6.

    Examples
    --------
    >>> take, correlation = rough_take_and_correlation(np.array([2.0]), np.array([0.8]))
    >>> bool(abs(take - averaged(np.array([2.0]), np.array([0.8]))[0])[0] < 1e-8)
    True
    """
    mean, square = np.zeros_like(theta), np.zeros_like(theta)
    for z, weight in zip(_ROUGH_Z, _ROUGH_WEIGHT, strict=True):
        took = special.expit(theta + sigma * z)
        mean += weight * took
        square += weight * took * took
    return mean, np.maximum(square - mean * mean, 0.0) / (mean * (1.0 - mean))


def correlation_of_sigma(theta: Floats, sigma: Floats) -> Floats:
    """Turn a tray standard deviation into an intra-tray correlation of the 0/1 outcome.

    Variance over trays of the take, divided by take x (1 - take).
    """
    at, width = np.broadcast_arrays(np.asarray(theta, float), np.asarray(sigma, float))
    out = np.empty(at.size)
    for i in range(0, at.size, _IN_CACHE):
        part = slice(i, i + _IN_CACHE)
        out[part] = _correlation(at.reshape(-1)[part, None], width.reshape(-1)[part, None])
    return out.reshape(at.shape)


def _correlation(theta: Floats, sigma: Floats) -> Floats:
    """The same, a few rows at a time, so that all of it stays in the processor's cache.

    Both shares come from one exponential, each exact where it is small: this and the few rows
    make it five times as fast as two calls of expit, and it is most of what a spread costs.
    """
    inner = theta + sigma * _Z
    odds = np.exp(np.minimum(inner, 700.0, out=inner), out=inner)  # 700: short of overflow
    lost = 1.0 / (1.0 + odds)
    mean = lost @ _WEIGHT
    takes = np.multiply(odds, lost, out=odds) @ _WEIGHT
    lost -= mean[:, None]
    square = np.multiply(lost, lost, out=lost) @ _WEIGHT
    return np.asarray(square / (mean * takes))
