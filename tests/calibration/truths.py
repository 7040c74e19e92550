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
def logit_normal_truth(take: float, correlation: float) -> tuple[float, float]:
    """Theta and sigma that average to this take with this intra-tray correlation."""
    phi = np.array([np.arcsin(np.sqrt(take))])

    def gap(sigma: float) -> float:
        theta = theta_of_take(phi, np.array([sigma]))[0]
        return float(correlation_of_sigma(theta, np.array([sigma]))[0]) - correlation

    sigma = float(optimize.brentq(gap, 1e-3, 8.0, xtol=1e-10))
    return float(theta_of_take(phi, np.array([sigma]))[0, 0]), sigma


def mean_correlation_sigma(take_a: float, take_b: float, correlation: float) -> float:
    """The one sigma whose intra-tray correlation, averaged over two takes, is the target."""

    def gap(sigma: float) -> float:
        found = []
        for take in (take_a, take_b):
            phi = np.array([np.arcsin(np.sqrt(take))])
            theta = theta_of_take(phi, np.array([sigma]))[0]
            found.append(float(correlation_of_sigma(theta, np.array([sigma]))[0]))
        return float(np.mean(found)) - correlation

    return float(optimize.brentq(gap, 1e-3, 12.0, xtol=1e-10))


def draw_takes(
    rng: np.random.Generator, truth: str, take: float, spread: float, shape: tuple[int, ...]
) -> NDArray[np.float64]:
    """Draw takes of trays: ``spread`` is the ICC (beta-binomial) or sigma (logit-normal)."""
    if spread <= 0.0 or take >= 1.0:
        return np.full(shape, take)
    if truth == BETA_BINOMIAL:
        size = (1.0 - spread) / spread
        return rng.beta(take * size, (1.0 - take) * size, shape)
    phi = np.array([np.arcsin(np.sqrt(take))])
    theta = float(theta_of_take(phi, np.array([spread]))[0, 0])
    return np.asarray(special.expit(theta + spread * rng.standard_normal(shape)))


def spread_of(truth: str, take_a: float, take_b: float, correlation: float) -> float:
    """The spread parameter of a truth with this (mean) intra-tray correlation."""
    if correlation <= 0.0 or truth == BETA_BINOMIAL:
        return correlation
    return mean_correlation_sigma(take_a, take_b, correlation)
