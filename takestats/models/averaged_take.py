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
_Z = np.arange(-85, 86) * _STEP
_WEIGHT = np.exp(-0.5 * _Z * _Z)
_WEIGHT = _WEIGHT / _WEIGHT.sum()


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
    target = 2.0 * np.log(np.tan(phi))
    width = np.asarray(sigma)[:, None]
    theta = target * np.sqrt(1.0 + 0.346 * width**2)
    for _ in range(40):
        inner = theta[..., None] + width[..., None] * _Z
        lost = special.expit(-inner)
        fails = lost @ _WEIGHT
        takes = special.expit(inner) @ _WEIGHT
        slope = (lost * (1.0 - lost)) @ _WEIGHT / (takes * fails)
        step = (np.log(takes / fails) - target) / slope
        theta = theta - np.clip(step, -4.0, 4.0)
        if np.max(np.abs(step)) < 1e-10:
            break
    return theta


def correlation_of_sigma(theta: Floats, sigma: Floats) -> Floats:
    """Turn a tray standard deviation into an intra-tray correlation of the 0/1 outcome.

    Variance over trays of the take, divided by take x (1 - take).
    """
    inner = np.asarray(theta)[..., None] + np.asarray(sigma)[..., None] * _Z
    lost = special.expit(-inner)
    mean = lost @ _WEIGHT
    square = (lost - mean[..., None]) ** 2 @ _WEIGHT
    return np.asarray(square / (mean * (special.expit(inner) @ _WEIGHT)))
