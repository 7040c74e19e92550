"""Which spreads may a layer have, and how likely is each beforehand?

Every spread is walked along its square root q: rho = q^2, SD = q^2, where the
evidence is smooth down to no spread at all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

_TOP_RHO = 0.985
_LAST_SCANNED_RHO = 0.95
_SCALES_AHEAD = 4.4
_SCALES_SCANNED = 3.8


@dataclass(frozen=True, kw_only=True)
class Axis:
    """A spread and its prior.

    Parameters
    ----------
    scale : float or None
        Half-normal scale of a standard deviation; None for an intra-tray
        correlation rho ~ Beta(1, 4); 0 for a layer that has no spread.
    """

    scale: float | None

    @property
    def none(self) -> bool:
        """Whether the layer has no spread."""
        return self.scale == 0.0

    @property
    def top(self) -> float:
        """Largest q looked at."""
        return _TOP_RHO if self.scale is None else float(np.sqrt(_SCALES_AHEAD * self.scale))

    def scan(self, count: int) -> FloatArray:
        """First values of q to look at."""
        if self.none:
            return np.zeros(1)
        if self.scale is None:
            return np.linspace(0.04, _LAST_SCANNED_RHO, count)
        last = float(np.sqrt(_SCALES_SCANNED * self.scale))
        return np.linspace(0.08 * last, last, count)

    def log_prior(self, q: FloatArray) -> FloatArray:
        """Log prior density along q."""
        value = q * q
        if self.scale is None:
            rho: FloatArray = np.log(8.0 * q) + 3.0 * np.log1p(-value)
            return rho
        sd: FloatArray = (
            np.log(4.0 * q / self.scale)
            - 0.5 * np.log(2.0 * np.pi)
            - 0.5 * (value / self.scale) ** 2
        )
        return sd
