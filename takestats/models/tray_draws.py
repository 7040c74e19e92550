"""What counts could a tray have shown? Predictions for the trays of a fit.

A tray's own count is taken back out of the posterior by importance weights
before its prediction is made, so that an odd tray does not hide itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

DRAWS = 1024
_LARGE = 400
_MOST_WEIGHT = 0.05


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayDraws:
    """Draws of the averaged take and the intra-tray correlation behind each pattern.

    Parameters
    ----------
    takes, correlations : ndarray of shape (draws, patterns)
    """

    takes: Floats
    correlations: Floats


def _log_pmf(taken: float, tried: float, take: Floats, correlation: Floats) -> Floats:
    """Beta-binomial log probability of a count, draw by draw."""
    size = (1.0 - correlation) / correlation
    alpha, beta = take * size, (1.0 - take) * size
    return np.asarray(
        special.betaln(taken + alpha, tried - taken + beta)
        - special.betaln(alpha, beta)
        - special.betaln(taken + 1.0, tried - taken + 1.0)
        - np.log(tried + 1.0)
    )


class TrayTail(NamedTuple):
    """What was to be expected of a tray, its own count taken back out.

    Parameters
    ----------
    lower, at : float
        Chance of a lower count, and of this one.
    expected : float
        The expected share.
    """

    lower: float
    at: float
    expected: float


def tray_tail(draws: TrayDraws, pattern: int, taken: float, tried: float) -> TrayTail:
    """Predict a tray without its own count, and place the count in the prediction.

    Parameters
    ----------
    draws : TrayDraws
    pattern : int
        Which column of the draws the tray belongs to.
    taken, tried : float

    Notes
    -----
    Logit-normal draws enter through their correlation as beta-binomial trays:
    close enough to pick trays by, not used for any interval.
    """
    take = np.clip(draws.takes[:, pattern], 1e-9, 1.0 - 1e-9)
    correlation = np.clip(draws.correlations[:, pattern], 1e-6, 1.0 - 1e-6)
    own = _log_pmf(taken, tried, take, correlation)
    weight = np.exp(own.min() - own)
    weight = np.minimum(weight, _MOST_WEIGHT * weight.sum())
    weight /= weight.sum()
    size = (1.0 - correlation) / correlation
    alpha, beta = take * size, (1.0 - take) * size
    at = float(weight @ np.exp(own))
    if tried > _LARGE:
        below = special.betainc(alpha, beta, np.clip(taken / tried, 0, 1))
        lower = float(weight @ below) - 0.5 * at
    elif 2.0 * taken > tried:
        lower = 1.0 - at - float(weight @ _beyond(own, tried - taken, taken, beta, alpha))
    else:
        lower = float(weight @ _beyond(own, taken, tried - taken, alpha, beta))
    return TrayTail(lower=max(0.0, lower), at=at, expected=float(weight @ take))


def _beyond(own: Floats, mine: float, others: float, alpha: Floats, beta: Floats) -> Floats:
    """Chance, draw by draw, of fewer than ``mine`` of one kind; ``own`` is that of ``mine``.

    Each count's chance from that of the count above it, by the ratio of two beta-binomial
    chances.
    """
    chance = np.exp(own)
    total: Floats = np.zeros_like(chance)
    for step in range(int(mine)):  # over draws at once: a count is small, the draws are many
        k, m = mine - step, others + step
        chance = chance * ((k * (m + beta)) / ((m + 1.0) * (k - 1.0 + alpha)))
        total += chance
    return total
