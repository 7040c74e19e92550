"""What is the most likely model, without any prior? For reference cases and large trials.

No priors: with a level where every graft took there is no maximum. Its limits
fall short with few trays; the tray model is the engine of choice.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.errors import DesignError
from takestats.models.likelihoods import log_choose
from takestats.models.separation import unbounded_direction
from takestats.models.wald import WaldFit

Floats = NDArray[np.float64]

NODES = 25
_STEP = 1e-4
# Likelihoods closer than this are level.
_LEVEL = 1e-6
_LEAST_RHO = 1e-6


def maximum_likelihood(
    taken: Floats,
    tried: Floats,
    design: Floats,
    *,
    family: Literal["beta_binomial", "logit_normal"] = "logit_normal",
    groups: NDArray[np.int64] | None = None,
    nodes: int = NODES,
) -> WaldFit:
    """Fit one tray model by maximum likelihood.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
    design : ndarray of shape (lines, columns)
    family : {"beta_binomial", "logit_normal"}
    groups : ndarray of int, shape (lines,), optional
        Lines that share one normal effect; by default every line has its own.
        Logit-normal only.
    nodes : int
        Gauss-Hermite nodes adapted to each group; 1 is Laplace's approximation.

    Returns
    -------
    WaldFit
        ``spread`` is rho or sigma; covariance from the numerical Hessian. Where
        trays are no further apart than chance the spread is 0 and the fit is the
        binomial one, with its covariance.

    Raises
    ------
    DesignError
        When no maximum is found, or groups are given to the beta-binomial.

    References
    ----------
    Pinheiro & Bates 1995, J Comput Graph Stat 4:12-35 (adaptive quadrature);
    Williams 1975, Biometrics 31:949-952 (beta-binomial).
    """
    if family == "beta_binomial" and groups is not None:
        raise DesignError(
            where="engine, ml",
            what="the beta-binomial was given groups",
            rule="a beta-binomial tray is one line; only a normal effect can be shared by lines",
            next_step="leave the groups out, or use the logit-normal family",
        )
    if unbounded_direction(taken, tried, design) is not None:
        raise no_maximum()
    ways = float(log_choose(taken, tried).sum())
    if family == "beta_binomial":

        def log_likelihood(beta: Floats, spread: float) -> float:
            return _beta_binomial(taken, tried, design @ beta, spread) + ways
    else:
        member = np.arange(taken.size) if groups is None else groups
        _, member = np.unique(member, return_inverse=True)

        def log_likelihood(beta: Floats, spread: float) -> float:
            return _logit_normal(taken, tried, design @ beta, spread, member, nodes) + ways

    # Spread on a scale without bounds: log of sigma, logit of rho.
    # Below _LEAST_RHO the beta functions lose their last digits.
    back: Callable[[float], float] = (
        (lambda x: _LEAST_RHO + (1.0 - _LEAST_RHO) * float(special.expit(x)))
        if family == "beta_binomial"
        else (lambda x: float(np.exp(x)))
    )

    def cost(at: Floats) -> float:
        return -log_likelihood(at[:-1], back(float(at[-1])))

    start = np.append(binomial_start(taken, tried, design), -2.0 if family[0] == "b" else -0.7)
    best, least = lowest(cost, start)
    if not np.all(np.isfinite(best)) or np.max(np.abs(best[:-1])) > 25.0:
        raise no_maximum()
    method = f"maximum likelihood, {family.replace('_', '-')}"
    height = -least
    no_spread, information, floor = _binomial_peak(taken, tried, design, best[:-1])
    if floor + ways >= height - _LEVEL:
        return WaldFit(
            method=method,
            coefficients=no_spread,
            covariance=np.asarray(np.linalg.inv(information), dtype=np.float64),
            df=np.inf,
            spread=0.0,
            log_likelihood=floor + ways,
        )
    covariance: Floats = np.asarray(np.linalg.pinv(hessian(cost, best)), dtype=np.float64)
    spread = back(float(best[-1]))
    return WaldFit(
        method=method,
        coefficients=best[:-1],
        covariance=covariance[:-1, :-1],
        df=np.inf,
        spread=spread,
        sigma=spread if family == "logit_normal" else 0.0,
        log_likelihood=height,
    )


def no_maximum() -> DesignError:
    """Say that a level without failures, or without takes, has no most likely model."""
    return DesignError(
        where="engine, ml",
        what="the likelihood has no maximum",
        rule="every level needs grafts that took and grafts that failed",
        next_step="use the tray model, which answers here",
    )


def _binomial_peak(
    taken: Floats, tried: Floats, design: Floats, start: Floats
) -> tuple[Floats, Floats, float]:
    """Peak without any spread, its information and height, by Newton's steps cut short."""

    def look(beta: Floats) -> tuple[float, Floats, Floats]:
        eta = design @ beta
        take = special.expit(eta)
        value = taken @ special.log_expit(eta) + (tried - taken) @ special.log_expit(-eta)
        bend = design.T @ (design * (tried * take * (1.0 - take))[:, None])
        return float(value), design.T @ (taken - tried * take), bend

    beta = start
    value, slope, information = look(beta)
    for _ in range(100):
        step = np.linalg.lstsq(information, slope, rcond=None)[0]
        gain = float(slope @ step)
        if gain < 1e-22:
            break
        share = 1.0
        while share > 1e-8 and look(beta + share * step)[0] < value:
            share /= 2.0
        beta = beta + share * step
        value, slope, information = look(beta)
    return beta, information, value


def lowest(cost: Callable[[Floats], float], start: Floats) -> tuple[Floats, float]:
    """Where a cost is lowest, and how low: downhill by its slope, then polished without it."""
    from scipy.optimize import minimize  # slow to load, and a season page seldom needs it

    found = minimize(cost, start, method="BFGS", options={"gtol": 1e-6})
    polished = minimize(
        cost, found.x, method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10}
    )
    best = polished if polished.fun < found.fun else found
    return np.asarray(best.x, dtype=np.float64), float(best.fun)


def binomial_start(taken: Floats, tried: Floats, design: Floats) -> Floats:
    """Least squares on the empirical log odds."""
    logit = special.logit((taken + 0.5) / (tried + 1.0))
    weight = np.sqrt(tried)
    return np.asarray(np.linalg.lstsq(design * weight[:, None], logit * weight, rcond=None)[0])


def _beta_binomial(taken: Floats, tried: Floats, eta: Floats, rho: float) -> float:
    size = (1.0 - rho) / rho
    alpha, beta = special.expit(eta) * size, special.expit(-eta) * size
    value = special.betaln(taken + alpha, tried - taken + beta) - special.betaln(alpha, beta)
    return float(value.sum())


def _logit_normal(
    taken: Floats, tried: Floats, eta: Floats, sigma: float, member: NDArray[np.int64], nodes: int
) -> float:
    """Log likelihood, Gauss-Hermite adapted to each group at its mode."""
    groups = int(member.max()) + 1
    z = np.zeros(groups)
    for _ in range(50):
        take = special.expit(eta + sigma * z[member])
        slope = sigma * np.bincount(member, taken - tried * take, groups) - z
        bend = sigma**2 * np.bincount(member, tried * take * (1.0 - take), groups) + 1.0
        step = slope / bend
        z = z + np.clip(step, -2.0, 2.0)
        if np.max(np.abs(step)) < 1e-10:
            break
    width = 1.0 / np.sqrt(bend)
    points, weights = np.polynomial.hermite_e.hermegauss(nodes)
    at = z[:, None] + width[:, None] * points
    logit = eta[:, None] + sigma * at[member]
    inner = taken[:, None] * special.log_expit(logit)
    inner += (tried - taken)[:, None] * special.log_expit(-logit)
    total = np.zeros((groups, nodes))
    np.add.at(total, member, inner)
    total += -0.5 * at**2 + 0.5 * points**2 + np.log(weights / np.sqrt(2.0 * np.pi))
    return float((special.logsumexp(total, axis=1) + np.log(width)).sum())


def hessian(cost: Callable[[Floats], float], at: Floats) -> Floats:
    """Second derivatives of a cost, by differences."""
    size = at.size
    step = _STEP * np.maximum(1.0, np.abs(at))
    out = np.empty((size, size))
    for i in range(size):
        for j in range(i, size):
            a, b = np.zeros(size), np.zeros(size)
            a[i], b[j] = step[i], step[j]
            value = cost(at + a + b) - cost(at + a - b) - cost(at - a + b) + cost(at - a - b)
            out[i, j] = out[j, i] = value / (4.0 * step[i] * step[j])
    return out
