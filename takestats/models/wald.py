"""What do a fit's coefficients and their covariance say of takes and differences?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import COARSE_WEIGHT, COARSE_Z
from takestats.models.belief import Estimate

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, kw_only=True)
class WaldFit:
    """What second looks and maximum likelihood give back.

    Parameters
    ----------
    method : str
        In words.
    coefficients : ndarray of shape (columns,)
    covariance : ndarray of shape (columns, columns)
    df : float
        Degrees of freedom of the t quantile; inf for the normal.
    spread : float
        Dispersion (quasi-binomial), working correlation (GEE), rho
        (beta-binomial) or sigma (logit-normal).
    sigma : float
        Standard deviation of a normal tray effect to average over; 0 without.
    log_likelihood : float
        Binomial coefficients in; nan where there is none.
    """

    method: str
    coefficients: Floats
    covariance: Floats
    df: float
    spread: float
    sigma: float = 0.0
    log_likelihood: float = float("nan")

    @property
    def standard_errors(self) -> Floats:
        """Standard errors of the coefficients."""
        return np.sqrt(np.diag(self.covariance))

    def averaged(self, rows: Floats, weights: Floats) -> tuple[float, Floats]:
        """Averaged take of weighted rows, and its gradient in the coefficients."""
        share = weights / weights.sum()
        eta = rows @ self.coefficients
        take = special.expit(eta[:, None] + self.sigma * COARSE_Z)
        mean = take @ COARSE_WEIGHT
        slope = (take * (1.0 - take)) @ COARSE_WEIGHT
        return float(share @ mean), np.asarray((share * slope) @ rows)

    def _quantile(self, level: float) -> float:
        return float(special.stdtrit(self.df, 0.5 + level / 2.0))

    def take(self, rows: Floats, weights: Floats, level: float) -> Estimate:
        """Averaged take with limits, Wald on the log odds scale."""
        take, gradient = self.averaged(rows, weights)
        variance = float(gradient @ self.covariance @ gradient)
        half = self._quantile(level) * np.sqrt(variance) / (take * (1.0 - take))
        middle = special.logit(take)
        return Estimate(
            estimate=take,
            low=float(special.expit(middle - half)),
            high=float(special.expit(middle + half)),
        )

    def contrast(
        self,
        groups: list[tuple[float, Floats, Floats]],
        level: float,
        scale: Callable[[float], tuple[float, float]],
    ) -> Estimate:
        """Sum of signed averaged takes on a scale, by the delta method.

        Parameters
        ----------
        groups : list of (sign, rows, weights)
        level : float
        scale : callable
            Gives the value of a take on the scale and its derivative there.
        """
        value = 0.0
        gradient = np.zeros(self.coefficients.size)
        for sign, rows, weights in groups:
            take, slope = self.averaged(rows, weights)
            on_scale, derivative = scale(take)
            value += sign * on_scale
            gradient += sign * derivative * slope
        error = float(np.sqrt(gradient @ self.covariance @ gradient))
        half = self._quantile(level) * error
        p_value = 2.0 * float(special.stdtr(self.df, -abs(value) / error)) if error > 0.0 else 1.0
        return Estimate(estimate=value, low=value - half, high=value + half, p_value=p_value)


def as_it_is(take: float) -> tuple[float, float]:
    """The take itself."""
    return take, 1.0


def as_log_odds(take: float) -> tuple[float, float]:
    """The log odds of the take."""
    return float(special.logit(take)), 1.0 / (take * (1.0 - take))
