"""How might the trays of a trial turn out, if these were the takes?

Half of the trials have beta-binomial trays, half logit-normal ones: nobody knows
which of the two a nursery has.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import correlation_of_sigma, theta_of_take
from takestats.models.crossing import crossing
from takestats.planning.question import Question

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

#: Trays that differ less than this do not differ.
_ALIKE = 1e-6
_WIDEST = 30.0


@lru_cache(maxsize=512)
def shared_sigma(takes: tuple[float, ...], icc: float) -> float:
    """The one tray standard deviation whose correlation, averaged over the takes, is the ICC."""
    phi = np.arcsin(np.sqrt(np.array(takes)))

    def over(sigma: float) -> float:
        width = np.array([sigma])
        theta = theta_of_take(phi, width)[0]
        return float(correlation_of_sigma(theta, np.full(phi.size, sigma)).mean()) - icc

    if over(_WIDEST) < 0.0:
        return _WIDEST
    return crossing(over, 1e-4, _WIDEST, within=1e-9)


@lru_cache(maxsize=1024)
def middle_tray(take: float, sigma: float) -> float:
    """Log odds of the middle tray that averages to this take."""
    phi = np.array([np.arcsin(np.sqrt(take))])
    return float(theta_of_take(phi, np.array([sigma]))[0, 0])


def _inner(takes: tuple[float, ...]) -> tuple[float, ...]:
    """Takes that vary between trays; 0 and 100 % do not."""
    return tuple(take for take in takes if 0.0 < take < 1.0)


def tray_takes(take: float, icc: float, sigma: float, places: Floats, trials_even: int) -> Floats:
    """Takes of trays at standard normal places: the first trials beta, the others logit-normal."""
    if icc <= _ALIKE or not 0.0 < take < 1.0:
        return np.full(places.shape, take)
    out = np.empty(places.shape)
    size = (1.0 - icc) / icc
    shares = special.ndtr(places[:trials_even])
    out[:trials_even] = special.betaincinv(take * size, (1.0 - take) * size, shares)
    theta = middle_tray(take, sigma)
    out[trials_even:] = special.expit(theta + sigma * places[trials_even:])
    return out


def simulated_counts(
    question: Question,
    trays: int,
    iccs: tuple[float, ...],
    trials: int,
    seed: tuple[int, ...],
) -> tuple[Counts, ...]:
    """Draw trials.

    Parameters
    ----------
    question : Question
        Its takes are the truth.
    trays : int
        Trays of each arm; both arms are in each when they share trays.
    iccs : tuple of float
        Of each arm; equal ones share one spread.
    trials : int
    seed : tuple of int

    Returns
    -------
    tuple of ndarray, one per arm, each (trials, trays)
        Taken.
    """
    rng = np.random.default_rng(seed)
    half = trials // 2
    equal = len(set(iccs)) == 1
    inner = _inner(question.takes)
    place: Floats | None = None
    arms = []
    for take, icc, size in zip(question.takes, iccs, question.sizes, strict=True):
        sigma = 0.0
        if icc > _ALIKE and 0.0 < take < 1.0:
            sigma = shared_sigma(inner if equal else (take,), icc)
        if question.within_trays:
            if place is None:
                place = rng.standard_normal((trials, trays))
            drawn = tray_takes(take, icc, sigma, place, half)
        else:
            drawn = _free_takes(rng, take, icc, sigma, (trials, trays))
        arms.append(rng.binomial(size, drawn).astype(np.int64))
    return tuple(arms)


def _free_takes(
    rng: np.random.Generator, take: float, icc: float, sigma: float, shape: tuple[int, int]
) -> Floats:
    """As :func:`tray_takes`, drawn the quick way where no place is shared."""
    if icc <= _ALIKE or not 0.0 < take < 1.0:
        return np.full(shape, take)
    half, size = shape[0] // 2, (1.0 - icc) / icc
    even = rng.beta(take * size, (1.0 - take) * size, (half, shape[1]))
    places = rng.standard_normal((shape[0] - half, shape[1]))
    odd = special.expit(middle_tray(take, sigma) + sigma * places)
    return np.concatenate([even, odd])
