"""Trays drawn from a known truth: averaged take and intra-tray correlation solved to target."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special

from takestats.models.averaged_take import correlation_of_sigma, theta_of_take

BETA_BINOMIAL = "beta-binomial"
LOGIT_NORMAL = "logit-normal"


@lru_cache(maxsize=256)
def common_sigma(takes: tuple[float, ...], correlation: float) -> float:
    """The one sigma whose intra-tray correlation, averaged over these takes, is the target."""
    phi = [np.array([np.arcsin(np.sqrt(take))]) for take in takes]

    def gap(sigma: float) -> float:
        width = np.array([sigma])
        found = [float(correlation_of_sigma(theta_of_take(p, width)[0], width)[0]) for p in phi]
        return float(np.mean(found)) - correlation

    return float(optimize.brentq(gap, 1e-3, 12.0, xtol=1e-10))


@lru_cache(maxsize=256)
def _theta(take: float, sigma: float) -> float:
    return float(theta_of_take(np.array([np.arcsin(np.sqrt(take))]), np.array([sigma]))[0, 0])


def draw_takes(
    rng: np.random.Generator, truth: str, take: float, spread: float, shape: tuple[int, ...]
) -> NDArray[np.float64]:
    """Draw takes of trays: ``spread`` is the ICC (beta-binomial) or sigma (logit-normal)."""
    if spread <= 0.0 or take >= 1.0:
        return np.full(shape, take)
    if truth == BETA_BINOMIAL:
        size = (1.0 - spread) / spread
        return rng.beta(take * size, (1.0 - take) * size, shape)
    theta = _theta(take, spread)
    return np.asarray(special.expit(theta + spread * rng.standard_normal(shape)))


def spreads_of(
    truth: str, takes: tuple[float, ...], correlations: tuple[float, ...]
) -> tuple[float, ...]:
    """The spread parameter of each arm: rho, or sigma solved to the correlations.

    Equal correlations: one spread for all arms (their mean correlation is the target). Unequal
    ones: each arm its own.
    """
    if truth == BETA_BINOMIAL:
        return correlations
    if len(set(correlations)) == 1:
        common = common_sigma(takes, correlations[0]) if correlations[0] > 0.0 else 0.0
        return (common,) * len(takes)
    return tuple(
        common_sigma((take,), correlation) if correlation > 0.0 else 0.0
        for take, correlation in zip(takes, correlations, strict=True)
    )
