"""How alike are the grafts of one tray, beyond chance?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from takestats.errors import CountsError
from takestats.interval import Interval, check_level
from takestats.wording.numbers import plain

_WHERE = "intra_tray_correlation"


def _counts(
    taken: ArrayLike, grafted: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    k = np.asarray(taken, dtype=float).ravel()
    n = np.asarray(grafted, dtype=float).ravel()
    if k.shape != n.shape or not np.all(np.isfinite(k)) or not np.all(np.isfinite(n)):
        raise CountsError(
            where=_WHERE,
            what=f"{k.size} counts of taken, {n.size} of grafted, or blanks among them",
            rule="one count of taken and one of grafted for every tray",
            next_step="leave out trays that have not been counted",
        )
    if np.any(n < 1) or np.any(k < 0) or np.any(k > n):
        bad = int(np.flatnonzero((n < 1) | (k < 0) | (k > n))[0])
        raise CountsError(
            where=f"{_WHERE}, tray {bad + 1}",
            what=f"taken {plain(k[bad])}, grafted {plain(n[bad])}",
            rule="at least one graft a tray, and no more took than were made",
            next_step="check the counts of this tray",
        )
    return k, n


def intra_tray_correlation(
    taken: ArrayLike,
    grafted: ArrayLike,
    groups: Sequence[Any] | ArrayLike | None = None,
    *,
    level: float = 0.95,
) -> Interval:
    """How alike are grafts that share a tray, beyond what their group explains?

    Parameters
    ----------
    taken, grafted : array_like of shape (trays,)
        Counts, one pair per tray.
    groups : array_like of shape (trays,), optional
        What each tray belongs to (its method, its combination). The
        correlation is then pooled within the groups.
    level : float
        Confidence level of the limits.

    Returns
    -------
    Interval
        The raw analysis-of-variance estimate, which may be negative, with
        limits by the F distribution (exact for normal data only: rough for
        counts, and rougher near 100 %).

    Raises
    ------
    CountsError
        Fewer than two trays in every group, trays of one graft only wherever
        a group has two, or no variation at all (every graft took, or none).

    Notes
    -----
    ``(msb - msw) / (msb + (n0 - 1) msw)`` with between- and within-tray mean
    squares of the 0/1 outcomes, ``n0 = sum over groups of
    (N_g - sum n^2 / N_g) / sum over groups of (trays_g - 1)``.

    References
    ----------
    Ridout, Demetrio & Firth 1999, Biometrics 55:137-148 (the analysis of
    variance estimator); F limits as in Searle 1971, Linear Models, chapter 9
    (from memory).

    Examples
    --------
    >>> trial = intra_tray_correlation([6, 7, 7, 0, 5, 5], [10] * 6, ["Oct"] * 3 + ["Nov"] * 3)
    >>> 0.092 < trial.estimate < 0.093
    True
    """
    check_level(level)
    k, n = _counts(taken, grafted)
    if groups is None:
        codes = np.zeros(k.size, dtype=int)
    else:
        names = np.asarray(groups, dtype=object).ravel()
        if names.size != k.size:
            raise CountsError(
                where=_WHERE,
                what=f"{names.size} groups for {k.size} trays",
                rule="one group for every tray",
                next_step="give groups and counts of the same length",
            )
        codes = np.unique(names.astype(str), return_inverse=True)[1]
    total = np.bincount(codes, n)
    trays = np.bincount(codes)
    rate = np.bincount(codes, k) / total
    between = float(np.sum(n * (k / n - rate[codes]) ** 2))
    within = float(np.sum(k * (n - k) / n))
    df_between = int(np.sum(trays - 1))
    df_within = int(np.sum(n)) - k.size
    size = float(np.sum(total - np.bincount(codes, n * n) / total)) / max(df_between, 1)
    if df_between < 1 or df_within < 1 or size <= 1.0 + 1e-12:
        raise CountsError(
            where=_WHERE,
            what=f"{k.size} trays in {trays.size} groups, {int(n.sum())} grafts",
            rule="two trays in some group, and more than one graft in some tray of it",
            next_step="one tray cannot show tray-to-tray variation; count more trays",
        )
    if between + within <= 0.0:
        raise CountsError(
            where=_WHERE,
            what="every graft of every group took, or none did",
            rule="the correlation is about variation, and there is none",
            next_step="use the take with its interval; the tray model gives limits here",
        )
    msb, msw = between / df_between, within / df_within

    def correlation(ratio: float) -> float:
        if np.isinf(ratio):
            return 1.0
        return (ratio - 1.0) / (ratio + size - 1.0)

    ratio = msb / msw if msw > 0.0 else np.inf
    tail = (1.0 - level) / 2.0
    low = correlation(ratio / float(special.fdtri(df_between, df_within, 1.0 - tail)))
    high = correlation(ratio / float(special.fdtri(df_between, df_within, tail)))
    return Interval(
        estimate=float(correlation(ratio)),
        low=float(low),
        high=float(high),
        level=level,
        method="analysis of variance (Ridout, Demetrio & Firth 1999), F limits",
    )
