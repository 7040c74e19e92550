"""What is the most likely model with an effect for each group and each tray? For reference cases.

No priors: with few groups the likelihood says nothing that can be relied upon, and its
limits fall short. The layered fit is the engine of choice.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.likelihoods import log_choose
from takestats.models.maximum_likelihood import binomial_start, hessian, lowest, no_maximum
from takestats.models.separation import unbounded_direction
from takestats.models.wald import WaldFit

Floats = NDArray[np.float64]

_ROUNDS = 100
_FARTHEST = 25.0


@dataclass(frozen=True, eq=False, kw_only=True)
class TwoSpreadFit:
    """The most likely model with two layers.

    Parameters
    ----------
    fit : WaldFit
        Coefficients, covariance and log likelihood; ``sigma`` is that of both layers.
    group_sd, tray_sd : float
        Standard deviations of groups and of trays on the log odds scale.
    """

    fit: WaldFit
    group_sd: float
    tray_sd: float


def ml_two_spreads(
    taken: Floats, tried: Floats, design: Floats, groups: NDArray[np.int64]
) -> TwoSpreadFit:
    """Fit a normal effect for each group and one for each line, by maximum likelihood.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
    design : ndarray of shape (lines, columns)
    groups : ndarray of int, shape (lines,)
        Lines that share an effect.

    Returns
    -------
    TwoSpreadFit
        Covariance from the numerical Hessian of the log likelihood.

    Raises
    ------
    DesignError
        When there is no maximum.

    Notes
    -----
    Laplace's approximation over the effects of a group and its lines together: the
    matrix of their second derivatives is an arrow, so its determinant is that of the
    lines times one term a group. A layer without spread beyond chance has SD 0.

    References
    ----------
    Breslow & Clayton 1993, J Am Stat Assoc 88:9-25 (Laplace's approximation of a
    generalised linear mixed model; from memory).

    Examples
    --------
    >>> import numpy as np
    >>> taken = np.array([5.0, 7.0, 6.0, 2.0, 1.0, 3.0, 9.0, 6.0])
    >>> found = ml_two_spreads(taken, np.full(8, 10.0), np.ones((8, 1)),
    ...                        np.array([0, 0, 0, 1, 1, 1, 2, 2]))
    >>> found.group_sd > found.tray_sd
    True
    """
    if unbounded_direction(taken, tried, design) is not None:
        raise no_maximum()
    _, member = np.unique(groups, return_inverse=True)
    member = np.asarray(member.ravel(), dtype=np.intp)
    ways = float(log_choose(taken, tried).sum())
    size = design.shape[1]

    def cost(at: Floats) -> float:
        group_sd, tray_sd = np.abs(at[size:])
        eta = design @ at[:size]
        return -_laplace(taken, tried, eta, float(group_sd), float(tray_sd), member) - ways

    best: Floats | None = None
    least = np.inf
    # From either layer first: a likelihood with two spreads may have two tops.
    for start in ((0.7, 0.3), (0.3, 0.7)):
        at, low = lowest(cost, np.concatenate([binomial_start(taken, tried, design), start]))
        if low < least:
            best, least = at, low
    if best is None or not np.all(np.isfinite(best)) or np.max(np.abs(best)) > _FARTHEST:
        raise no_maximum()
    group_sd, tray_sd = np.abs(best[size:])
    covariance = np.asarray(np.linalg.pinv(hessian(cost, best)), dtype=np.float64)
    both = float(np.hypot(group_sd, tray_sd))
    fit = WaldFit(
        method="maximum likelihood, logit-normal, groups and trays",
        coefficients=best[:size],
        covariance=covariance[:size, :size],
        df=np.inf,
        spread=both,
        sigma=both,
        log_likelihood=-least,
    )
    return TwoSpreadFit(fit=fit, group_sd=float(group_sd), tray_sd=float(tray_sd))


def _laplace(
    taken: Floats,
    tried: Floats,
    eta: Floats,
    group_sd: float,
    tray_sd: float,
    member: NDArray[np.intp],
) -> float:
    """Log likelihood by Laplace's approximation, binomial coefficients left out."""
    groups = int(member.max()) + 1

    def sums(values: Floats) -> Floats:
        return np.bincount(member, values, groups).astype(np.float64)

    def height(u: Floats, e: Floats) -> float:
        logit = eta + group_sd * u[member] + tray_sd * e
        inside = taken @ special.log_expit(logit) + (tried - taken) @ special.log_expit(-logit)
        return float(inside - 0.5 * (u @ u + e @ e))

    u, e = np.zeros(groups), np.zeros(taken.size)
    here = height(u, e)
    for _ in range(_ROUNDS):
        take = special.expit(eta + group_sd * u[member] + tray_sd * e)
        known = tried * take * (1.0 - take)
        slope = taken - tried * take
        own = 1.0 + tray_sd**2 * known
        of_line = tray_sd * slope - e
        of_group = group_sd * sums(slope) - u
        left = 1.0 + group_sd**2 * sums(known / own)
        step_u = (of_group - group_sd * tray_sd * sums(known * of_line / own)) / left
        step_e = (of_line - group_sd * tray_sd * known * step_u[member]) / own
        gain = float(of_group @ step_u + of_line @ step_e)
        if gain < 1e-18:
            break
        share = 1.0
        while share > 1e-8 and height(u + share * step_u, e + share * step_e) < here - 1e-12:
            share /= 2.0
        u, e = u + share * step_u, e + share * step_e
        here = height(u, e)
    take = special.expit(eta + group_sd * u[member] + tray_sd * e)
    known = tried * take * (1.0 - take)
    own = 1.0 + tray_sd**2 * known
    left = 1.0 + group_sd**2 * sums(known / own)
    return here - 0.5 * float(np.log(own).sum() + np.log(left).sum())
