"""How may a season not yet seen turn out, and how will its trays differ?

A share of a season (its take, or how many of those that took are saleable) is
held as a few bins: the weight of each, its share, how far seasons differ inside
it, and how far trays of one season do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import rough_take_and_correlation
from takestats.models.grouped_seasons import NewKind, SeasonFit

Floats = NDArray[np.float64]

_BINS = 48
_REACH = 4.0
_LIGHT = 1e-9
_QUANTILES = 400


@dataclass(frozen=True, eq=False, kw_only=True)
class SeasonNodes:
    """A share of a season not yet seen, in bins.

    Parameters
    ----------
    weight : ndarray of shape (bins,)
        Sums to 1.
    share : ndarray of shape (bins,)
        Averaged over the trays of the season.
    between : ndarray of shape (bins,)
        Variance of the season's share inside the bin.
    within : ndarray of shape (bins,)
        Variance of a tray's share around that of its season.
    """

    weight: Floats
    share: Floats
    between: Floats
    within: Floats

    @property
    def mean(self) -> float:
        """Share of a new season, on average."""
        return float(self.weight @ self.share)

    @classmethod
    def of_value(cls, share: float) -> SeasonNodes:
        """A share that is taken to be the same in every season and tray.

        Examples
        --------
        >>> SeasonNodes.of_value(0.9).mean
        0.9
        """
        none = np.zeros(1)
        return cls(weight=np.ones(1), share=np.array([share]), between=none, within=none)

    @classmethod
    def of_fit(cls, fit: SeasonFit, kind: int) -> SeasonNodes:
        """A new season of one of the kinds that were fitted.

        Parameters
        ----------
        fit : SeasonFit
        kind : int
            Its number in the fit.
        """
        theta, step = fit.posterior.grid.middles, fit.posterior.grid.step
        weights, shares, withins = [], [], []
        for item in fit.posterior.slices:
            mass = item.new[kind]
            cells = np.flatnonzero(mass > _LIGHT * mass.max())
            if not cells.size:
                continue
            at = theta[cells]
            if item.family == "logit_normal":
                share, correlation = rough_take_and_correlation(at, np.full(at.size, item.spread))
            else:
                share = special.expit(at)
                correlation = np.full(at.size, item.spread)
            weights.append(mass[cells])
            shares.append(share)
            withins.append(correlation * share * (1.0 - share))
        weight, share = np.concatenate(weights), np.concatenate(shares)
        # The cells are as wide as a step of the log odds.
        between = (share * (1.0 - share) * step) ** 2 / 12.0
        return _binned(weight, share, between, np.concatenate(withins))

    @classmethod
    def of_new_kind(cls, found: NewKind) -> SeasonNodes:
        """A season of a combination not yet tried.

        Notes
        -----
        Quantiles of the season's take; trays differ as much as the take of a single tray does
        beyond the take of its season, in the same proportion to share x (1 - share) everywhere.
        """
        places = ((np.arange(_QUANTILES) + 0.5) / _QUANTILES).tolist()
        share, tray = (np.array(d.quantiles(places)) for d in (found.take, found.tray))
        spare = max(0.0, float(tray.var() - share.var()))
        ratio = min(1.0, spare / max(float(np.mean(share * (1.0 - share))), _LIGHT))
        weight = np.full(_QUANTILES, 1.0 / _QUANTILES)
        return _binned(weight, share, np.zeros(_QUANTILES), ratio * share * (1.0 - share))


def _binned(weight: Floats, share: Floats, between: Floats, within: Floats) -> SeasonNodes:
    """Put neighbours together, finer in the tails; means and variances are kept."""
    order = np.argsort(share, kind="stable")
    weight, share, between, within = (x[order] for x in (weight, share, between, within))
    weight = weight / weight.sum()
    middle = np.cumsum(weight) - 0.5 * weight
    edges = special.ndtr(np.linspace(-_REACH, _REACH, _BINS - 1))
    which = np.searchsorted(edges, middle)
    first = np.flatnonzero(np.concatenate([[True], np.diff(which) > 0]))
    total = np.add.reduceat(weight, first)
    mean, inside, trays, square = (
        np.add.reduceat(weight * x, first) / total for x in (share, between, within, share**2)
    )
    return SeasonNodes(
        weight=total,
        share=mean,
        between=np.maximum(square - mean**2, 0.0) + inside,
        within=trays,
    )
