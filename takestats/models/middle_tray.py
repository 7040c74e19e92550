"""What is the logit of one tray's take, when the average over trays is known?

For many pairs of take and spread at once: Newton steps from the scaled logit
(Zeger, Liang & Albert 1988, Biometrics 44:1049, eq. 3.3, as the start).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

# Trapezoid in z; the error is about exp(-2 pi^2 / (sigma step)), 1e-9 at sigma 4.4.
_Z = np.arange(-40, 41) * 0.2
_WEIGHT = np.exp(-0.5 * _Z * _Z) / np.exp(-0.5 * _Z * _Z).sum()
_CHUNK = 16384


def same_tray_log_odds(takes: Floats, sigmas: Floats) -> Floats:
    """Logit of the middle tray behind each averaged take, same shape as ``takes``."""
    flat = np.clip(takes.reshape(-1), 1e-12, 1.0 - 1e-12)
    width = sigmas.reshape(-1)
    out = np.empty_like(flat)
    for start in range(0, flat.size, _CHUNK):
        part = slice(start, start + _CHUNK)
        target, sigma = special.logit(flat[part]), width[part]
        theta = target * np.sqrt(1.0 + 0.346 * sigma**2)
        for _ in range(12):
            inner = theta[:, None] + sigma[:, None] * _Z
            fails = special.expit(-inner)
            lost = fails @ _WEIGHT
            slope = (fails * (1.0 - fails)) @ _WEIGHT / (lost * (1.0 - lost))
            step = np.log1p(-lost) - np.log(lost) - target
            step = np.clip(step / slope, -3.0, 3.0)
            theta = theta - step
            if np.max(np.abs(step)) < 1e-8:
                break
        out[part] = theta
    return out.reshape(takes.shape)
