"""What would maximum likelihood say of the same trays, without any prior?

For reference cases and published comparisons; its limits are too narrow with
few trays, so it is never the headline.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
from scipy.optimize import minimize
from scipy.special import digamma, expit, gammaln, log_expit, logsumexp

from takestats.errors import DesignError
from takestats.models.averaged_take import averaged
from takestats.models.sampled_rank import check_full_rank
from takestats.models.separation import why_no_answer

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]
    Surface = Callable[[FloatArray], tuple[float, FloatArray]]

MLFamily = Literal["beta-binomial", "logit-normal"]

_NODES = 25
_NO_SPREAD: dict[MLFamily, float] = {"beta-binomial": 1e-6, "logit-normal": 1e-3}


@dataclass(frozen=True, eq=False, kw_only=True)
class MaximumLikelihood:
    """A model fitted by maximum likelihood.

    Parameters
    ----------
    family : {"beta-binomial", "logit-normal"}
    coefficients, standard_errors : numpy.ndarray
        On the log-odds scale; errors from the observed information of
        coefficients and spread together.
    spread : float
        rho (beta-binomial) or sigma (logit-normal).
    log_likelihood : float
        Binomial coefficients in.
    covariance : numpy.ndarray
        Of the coefficients.
    notes : tuple of str
    """

    family: MLFamily
    coefficients: FloatArray
    standard_errors: FloatArray
    spread: float
    log_likelihood: float
    covariance: FloatArray
    notes: tuple[str, ...]

    def averaged_take(self, design: ArrayLike) -> FloatArray:
        """Take at these rows, averaged over trays.

        Parameters
        ----------
        design : array_like of shape (rows, coefficients)
        """
        eta = np.atleast_2d(np.asarray(design, dtype=float)) @ self.coefficients
        if self.family == "beta-binomial":
            return np.asarray(expit(eta))
        return averaged(eta, np.full(eta.shape, self.spread))[0]


def maximum_likelihood(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    *,
    family: MLFamily,
    cluster: ArrayLike | None = None,
) -> MaximumLikelihood:
    """Fit a family to the trays by maximum likelihood.

    Parameters
    ----------
    taken, tried : array_like of shape (lines,)
    design : array_like of shape (lines, coefficients)
    family : {"beta-binomial", "logit-normal"}
    cluster : array_like of shape (lines,), optional
        What the lines belong to; lines of one cluster share a deviation
        (logit-normal only). By default every line is its own.

    Returns
    -------
    MaximumLikelihood

    Raises
    ------
    DesignError
        No finite estimate: decided from the counts. Or clusters of several
        lines in the beta-binomial family.

    Notes
    -----
    Logit-normal: 25 Gauss-Hermite nodes adapted at each cluster's mode. Where
    the spread is estimated at its floor, ``notes`` say that tray variation was
    estimated as zero, and the errors are those of the binomial.

    References
    ----------
    Pinheiro & Bates 1995, J Comput Graph Stat 4:12-35 (adaptive quadrature,
    from memory).

    Examples
    --------
    >>> fit = maximum_likelihood([30, 34, 38, 39], [40] * 4, [[1]] * 4, family="beta-binomial")
    >>> round(float(fit.averaged_take([[1]])[0]), 3)
    0.882
    """
    k = np.asarray(taken, dtype=float).ravel()
    n = np.asarray(tried, dtype=float).ravel()
    x = np.asarray(design, dtype=float)
    kept = n > 0
    given = np.arange(k.size) if cluster is None else np.asarray(cluster).ravel()
    k, n, x, given = k[kept], n[kept], x[kept], given[kept]
    check_full_rank(x)
    groups = np.unique(given, return_inverse=True)[1].ravel()
    trays = int(groups.max()) + 1
    if family == "beta-binomial" and trays < k.size:
        raise _refused(
            "several lines share a cluster", "the beta-binomial family takes one line per tray"
        )
    reason = why_no_answer(k, n, x, trays)
    if reason is not None:
        raise _refused(reason, "a method without priors needs a finite estimate")
    surface = (
        _beta_binomial(k, n, x) if family == "beta-binomial" else _logit_normal(k, n, x, groups)
    )
    floor = float(np.log(_NO_SPREAD[family]))
    at = _climb(surface, _start(k, n, x, family), floor)
    spread = float(_spread(family, at[-1]))
    ways = float(np.sum(gammaln(n + 1) - gammaln(k + 1) - gammaln(n - k + 1)))
    none = bool(at[-1] <= floor)
    free = at.size - 1 if none else at.size
    information = _curvature(surface, at)[:free, :free]
    size = x.shape[1]
    covariance = np.asarray(np.linalg.inv(information)[:size, :size], dtype=np.float64)
    return MaximumLikelihood(
        family=family,
        coefficients=at[:size],
        standard_errors=np.sqrt(np.diag(covariance)),
        spread=spread,
        log_likelihood=ways - surface(at)[0],
        covariance=covariance,
        notes=("tray variation estimated as zero",) if none else (),
    )


def _refused(what: str, rule: str) -> DesignError:
    return DesignError(
        where="maximum likelihood",
        what=what,
        rule=rule,
        next_step="use the tray model, which always answers",
    )


def _spread(family: MLFamily, last: float | FloatArray) -> FloatArray:
    """Spread from its free parameter: log sigma, or logit rho."""
    return np.asarray(expit(last) if family == "beta-binomial" else np.exp(last))


def _start(k: FloatArray, n: FloatArray, x: FloatArray, family: MLFamily) -> FloatArray:
    odds = np.log(k + 0.5) - np.log(n - k + 0.5)
    root = np.sqrt(n)
    b = np.linalg.lstsq(x * root[:, None], odds * root, rcond=None)[0]
    return np.append(b, -3.0 if family == "beta-binomial" else -0.7)


def _climb(surface: Surface, start: FloatArray, floor: float) -> FloatArray:
    """Quasi-Newton, then Newton on the observed information; the floor where it is no lower."""

    def down(begin: FloatArray, lowest: float, highest: float) -> FloatArray:
        found = minimize(
            surface,
            begin,
            jac=True,
            method="L-BFGS-B",
            bounds=[(None, None)] * (start.size - 1) + [(lowest, highest)],
            options={"maxiter": 500, "ftol": 1e-14, "gtol": 1e-9},
        )
        return np.asarray(found.x, dtype=float)

    at = down(start, floor, 4.0)
    without = down(np.append(at[:-1], floor), floor, floor)
    if surface(without)[0] <= surface(at)[0] + 1e-4:
        return without
    for _ in range(4):
        value, gradient = surface(at)
        trial = at - np.linalg.solve(_curvature(surface, at), gradient)
        if not surface(trial)[0] <= value + 1e-10:
            break
        at = trial
    return at


def _curvature(surface: Surface, at: FloatArray) -> FloatArray:
    """Second derivatives from central differences of the gradient."""
    step = 1e-4
    rows = []
    for i in range(at.size):
        move = np.zeros(at.size)
        move[i] = step
        rows.append((surface(at + move)[1] - surface(at - move)[1]) / (2.0 * step))
    found = np.array(rows)
    return np.asarray(0.5 * (found + found.T))


def _beta_binomial(k: FloatArray, n: FloatArray, x: FloatArray) -> Surface:
    """Minus log likelihood and its gradient in (coefficients, logit rho)."""

    def surface(at: FloatArray) -> tuple[float, FloatArray]:
        m = expit(x @ at[:-1])
        q = expit(-(x @ at[:-1]))
        c = np.exp(-at[-1])
        a, b = m * c, q * c
        value = gammaln(c) - gammaln(n + c) + gammaln(k + a) - gammaln(a)
        value = value + gammaln(n - k + b) - gammaln(b)
        up = digamma(k + a) - digamma(a)
        down = digamma(n - k + b) - digamma(b)
        by_eta = c * m * q * (up - down)
        by_c = digamma(c) - digamma(n + c) + m * up + q * down
        gradient = np.append(x.T @ by_eta, -c * by_c.sum())
        return -float(value.sum()), -gradient

    return surface


def _logit_normal(k: FloatArray, n: FloatArray, x: FloatArray, groups: IntArray) -> Surface:
    """Minus log likelihood and its gradient in (coefficients, log sigma)."""
    clusters = int(groups.max()) + 1
    nodes, weights = np.polynomial.hermite_e.hermegauss(_NODES)
    log_weights = np.log(weights) + 0.5 * nodes**2 - 0.5 * np.log(2.0 * np.pi)

    def summed(values: FloatArray) -> FloatArray:
        out = np.zeros((clusters, *values.shape[1:]))
        np.add.at(out, groups, values)
        return out

    def modes(eta: FloatArray, sigma: float) -> tuple[FloatArray, FloatArray]:
        z = np.zeros(clusters)
        for _ in range(60):
            p = expit(eta + sigma * z[groups])
            score = sigma * summed(k - n * p) - z
            bend = sigma**2 * summed(n * p * (1.0 - p)) + 1.0
            step = score / bend
            z = z + np.clip(step, -2.0, 2.0)
            if np.abs(step).max() < 1e-12:
                break
        p = expit(eta + sigma * z[groups])
        return z, 1.0 / np.sqrt(sigma**2 * summed(n * p * (1.0 - p)) + 1.0)

    def surface(at: FloatArray) -> tuple[float, FloatArray]:
        eta, sigma = x @ at[:-1], float(np.exp(at[-1]))
        middle, width = modes(eta, sigma)
        z = middle[:, None] + width[:, None] * nodes
        theta = eta[:, None] + sigma * z[groups]
        lines = k[:, None] * log_expit(theta) + (n - k)[:, None] * log_expit(-theta)
        log_terms = summed(lines) - 0.5 * z**2 + log_weights + np.log(width)[:, None]
        value = logsumexp(log_terms, axis=1)
        share = np.exp(log_terms - value[:, None])
        residual = k[:, None] - n[:, None] * expit(theta)
        by_eta = (residual * share[groups]).sum(axis=1)
        by_sigma = float((residual * z[groups] * share[groups]).sum())
        return -float(value.sum()), -np.append(x.T @ by_eta, sigma * by_sigma)

    return surface
