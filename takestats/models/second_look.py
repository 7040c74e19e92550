"""What do two standard methods say of the same difference?

The quasi-binomial fit and the estimating equations with a small-sample
correction, beside the headline, never instead of it.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from scipy.special import expit
from scipy.stats import t as student

from takestats.models.separation import why_no_answer

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]

Method = Literal["quasi-binomial", "estimating equations"]


@dataclass(frozen=True, eq=False, kw_only=True)
class SecondFit:
    """Coefficients of one method, or the reason why it has none.

    Parameters
    ----------
    method : {"quasi-binomial", "estimating equations"}
    coefficients, covariance : numpy.ndarray or None
        None when there is no answer.
    spread : float
        Dispersion (quasi-binomial) or correlation within trays; nan without answer.
    degrees : int
        Trays minus coefficients: degrees of freedom of the limits.
    no_answer : str or None
        Why there is none, decided from the counts.
    """

    method: Method
    coefficients: FloatArray | None
    covariance: FloatArray | None
    spread: float
    degrees: int
    no_answer: str | None


@dataclass(frozen=True, eq=False, kw_only=True)
class SecondOpinion:
    """A difference of two averaged takes by one method, or the reason why it has none.

    Parameters
    ----------
    method : {"quasi-binomial", "estimating equations"}
    estimate, low, high : float
        nan when there is no answer.
    no_answer : str or None
    """

    method: Method
    estimate: float
    low: float
    high: float
    no_answer: str | None


def second_looks(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    rows_a: ArrayLike,
    rows_b: ArrayLike,
    *,
    cluster: ArrayLike | None = None,
    weights_a: ArrayLike | None = None,
    weights_b: ArrayLike | None = None,
    level: float = 0.95,
) -> tuple[SecondOpinion, SecondOpinion]:
    """What do the two methods say of the difference A minus B?

    Parameters
    ----------
    taken, tried : array_like of shape (lines,)
    design : array_like of shape (lines, coefficients)
    rows_a, rows_b : array_like of shape (rows, coefficients)
        The populations compared; takes are averaged over their rows.
    cluster : array_like of shape (lines,), optional
        Tray of each line; by default every line is a tray.
    weights_a, weights_b : array_like, optional
        Weights of the rows; equal when left out.
    level : float
        Confidence level.

    Returns
    -------
    (quasi-binomial, estimating equations) : pair of SecondOpinion

    Notes
    -----
    Delta method with t limits on trays minus coefficients. Their measured
    coverage is lower than that of the tray model: 82 % and 87 % at worst where
    95 % were meant, in the simulations behind this package.

    References
    ----------
    Mancl & DeRouen 2001, Biometrics 57:126-134 (corrected covariance, from
    memory); computed by statsmodels.

    Examples
    --------
    >>> quasi, equations = second_looks([31, 36, 33, 38, 39, 37], [40] * 6,
    ...     [[1, 0]] * 3 + [[1, 1]] * 3, [[1, 1]], [[1, 0]])
    >>> round(quasi.estimate, 4), round(equations.estimate, 4)
    (0.1167, 0.1167)
    """
    clusters = np.arange(np.size(taken)) if cluster is None else np.asarray(cluster).ravel()
    fits = (
        quasi_binomial(taken, tried, design, trays=np.unique(clusters).size),
        estimating_equations(taken, tried, design, cluster=clusters),
    )
    found = []
    for fit in fits:
        if fit.coefficients is None or fit.covariance is None:
            nan = float("nan")
            found.append(
                SecondOpinion(
                    method=fit.method, estimate=nan, low=nan, high=nan, no_answer=fit.no_answer
                )
            )
            continue
        a, slope_a = _mean_take(fit.coefficients, rows_a, weights_a)
        b, slope_b = _mean_take(fit.coefficients, rows_b, weights_b)
        slope = slope_a - slope_b
        reach = float(student.ppf(0.5 + level / 2.0, fit.degrees))
        reach *= float(np.sqrt(slope @ fit.covariance @ slope))
        found.append(
            SecondOpinion(
                method=fit.method,
                estimate=a - b,
                low=max(-1.0, a - b - reach),
                high=min(1.0, a - b + reach),
                no_answer=None,
            )
        )
    return found[0], found[1]


def quasi_binomial(
    taken: ArrayLike, tried: ArrayLike, design: ArrayLike, *, trays: int | None = None
) -> SecondFit:
    """Fit the quasi-binomial: logistic regression with errors scaled by the dispersion.

    Parameters
    ----------
    taken, tried : array_like of shape (lines,)
    design : array_like of shape (lines, coefficients)
    trays : int, optional
        Trays behind the lines; one per line by default.

    Returns
    -------
    SecondFit
        ``spread`` is Pearson's chi-square over its degrees of freedom.
    """
    from statsmodels.genmod.families import Binomial
    from statsmodels.genmod.generalized_linear_model import GLM

    k, n, x = _kept(taken, tried, design)
    several = k.size if trays is None else trays
    reason = why_no_answer(k, n, x, several)
    if reason is not None:
        return _without("quasi-binomial", several - x.shape[1], reason)
    fit = _asked(lambda: GLM(np.column_stack([k, n - k]), x, family=Binomial()).fit())
    if fit is None:
        return _without("quasi-binomial", several - x.shape[1], _NOT_SETTLED)
    # scale="X2" with two columns is not X2 / df of the counts (statsmodels 0.15.0).
    dispersion = float(fit.pearson_chi2) / (k.size - x.shape[1])
    return SecondFit(
        method="quasi-binomial",
        coefficients=np.asarray(fit.params, dtype=float),
        covariance=np.asarray(fit.cov_params(), dtype=float) * dispersion,
        spread=dispersion,
        degrees=several - x.shape[1],
        no_answer=None,
    )


def estimating_equations(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    *,
    cluster: ArrayLike | None = None,
    corrected: bool = True,
) -> SecondFit:
    """Fit generalised estimating equations, grafts of a tray equally correlated.

    Parameters
    ----------
    taken, tried : array_like of shape (lines,)
    design : array_like of shape (lines, coefficients)
    cluster : array_like of shape (lines,), optional
        Tray of each line; by default every line is a tray.
    corrected : bool
        Small-sample correction of the covariance; False gives the plain
        sandwich, to compare with published fits.

    Returns
    -------
    SecondFit
        ``spread`` is the working correlation.
    """
    from statsmodels.genmod.cov_struct import Exchangeable
    from statsmodels.genmod.families import Binomial
    from statsmodels.genmod.generalized_estimating_equations import GEE

    given = np.arange(np.size(taken)) if cluster is None else np.asarray(cluster).ravel()
    given = given[np.asarray(tried, dtype=float).ravel() > 0]
    k, n, x = _kept(taken, tried, design)
    trays = int(np.unique(given).size)
    reason = why_no_answer(k, n, x, trays)
    if reason is not None:
        return _without("estimating equations", trays - x.shape[1], reason)
    each = np.repeat(np.arange(k.size), n.astype(int))
    first = np.concatenate([[0], np.cumsum(n.astype(int))[:-1]])
    outcome = (np.arange(each.size) - first[each] < k[each]).astype(float)
    structure = Exchangeable()
    fit = _asked(
        lambda: GEE(
            outcome, x[each], groups=given[each], family=Binomial(), cov_struct=structure
        ).fit(maxiter=200, cov_type="bias_reduced" if corrected else "robust")
    )
    if fit is None:
        return _without("estimating equations", trays - x.shape[1], _NOT_SETTLED)
    return SecondFit(
        method="estimating equations",
        coefficients=np.asarray(fit.params, dtype=float),
        covariance=np.asarray(fit.cov_params(), dtype=float),
        spread=float(np.asarray(structure.dep_params)),
        degrees=trays - x.shape[1],
        no_answer=None,
    )


_NOT_SETTLED = "the iterations did not settle"


def _asked(fit: Any) -> Any:
    """Run a fit of the library; None when it warns or gives up."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            found = fit()
        except (Warning, np.linalg.LinAlgError, ValueError, FloatingPointError):
            return None
    errors = np.sqrt(np.diag(np.atleast_2d(np.asarray(found.cov_params(), dtype=float))))
    settled = bool(np.all(np.isfinite(found.params)) and np.all(np.isfinite(errors)))
    return found if settled and bool(getattr(found, "converged", True)) else None


def _without(method: Method, degrees: int, reason: str) -> SecondFit:
    return SecondFit(
        method=method,
        coefficients=None,
        covariance=None,
        spread=float("nan"),
        degrees=degrees,
        no_answer=reason,
    )


def _kept(
    taken: ArrayLike, tried: ArrayLike, design: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray]:
    k = np.asarray(taken, dtype=float).ravel()
    n = np.asarray(tried, dtype=float).ravel()
    x = np.asarray(design, dtype=float)
    return k[n > 0], n[n > 0], x[n > 0]


def _mean_take(
    coefficients: FloatArray, rows: ArrayLike, weights: ArrayLike | None
) -> tuple[float, FloatArray]:
    """Weighted mean take of some rows, and its slope in the coefficients."""
    x = np.atleast_2d(np.asarray(rows, dtype=float))
    w = np.ones(x.shape[0]) if weights is None else np.asarray(weights, dtype=float).ravel()
    w = w / w.sum()
    p = expit(x @ coefficients)
    return float(w @ p), np.asarray((w * p * (1.0 - p)) @ x)
