"""How many plants will so many grafts give in a new season, and how many grafts are enough?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.order.season_nodes import SeasonNodes

Floats = NDArray[np.float64]

MOST_GRAFTS = 1_000_000
_LIGHT = 1e-7
_LEAST = 1e-12
_LOOK_BACK = 4


@dataclass(frozen=True, eq=False, kw_only=True)
class PlantsToCome:
    """What grafts of one combination give in a season not yet seen.

    Parameters
    ----------
    weight : ndarray of shape (nodes,)
        Of each season that may come.
    share : ndarray of shape (nodes,)
        Plants for each graft in such a season.
    same_tray, same_season : ndarray of shape (nodes,)
        Covariance of two grafts of one tray, and of two trays.
    tray_size : int
        Grafts of a full tray.

    Notes
    -----
    The count of a season is a sum over full trays and one that may be part full. Its mean and
    variance are exact for each node. Its distribution there lies between a binomial on an
    effective number of grafts and a beta of the same mean and variance, the nearer to the first
    the less grafts of a tray are alike: without any likeness it is the binomial. Averaging over
    nodes brings in the season itself. Held against a convolution of whole trays, the chance to
    reach a number in one given season differs by under .025, averaged over seasons by under .015
    where all stands in one or two trays and .004 where it fills more (tests).
    """

    weight: Floats
    share: Floats
    same_tray: Floats
    same_season: Floats
    tray_size: int

    @classmethod
    def of(cls, take: SeasonNodes, keep: SeasonNodes | None, tray_size: int) -> PlantsToCome:
        """Take times what is kept of the plants that took.

        Parameters
        ----------
        take, keep : SeasonNodes
            ``keep`` None: plants that took are counted.
        tray_size : int
        """
        kept = SeasonNodes.of_value(1.0) if keep is None else keep
        weight = np.multiply.outer(take.weight, kept.weight)
        share = np.multiply.outer(take.share, kept.share)
        season = np.multiply.outer(take.share**2 + take.between, kept.share**2 + kept.between)
        tray = np.multiply.outer(
            take.share**2 + take.between + take.within,
            kept.share**2 + kept.between + kept.within,
        )
        good = weight > _LIGHT * weight.max()
        return cls(
            weight=weight[good] / weight[good].sum(),
            share=share[good],
            same_tray=(tray - share**2)[good],
            same_season=(season - share**2)[good],
            tray_size=tray_size,
        )

    def mean(self, grafts: float) -> float:
        """Plants expected of so many grafts."""
        return grafts * float(self.weight @ self.share)

    def chance(self, grafts: int, wanted: float) -> float:
        """Chance that so many grafts give at least so many plants."""
        if wanted <= 0:
            return 1.0
        if wanted > grafts:
            return 0.0
        full, rest = divmod(grafts, self.tray_size)
        together = full * self.tray_size * (self.tray_size - 1.0) + rest * (rest - 1.0)
        apart = grafts * (grafts - 1.0) - together
        alone = np.maximum(self.share * (1.0 - self.share), _LEAST)
        extra = together * self.same_tray + apart * self.same_season
        inflation = 1.0 + extra / (grafts * alone)
        number = grafts / inflation
        # The continuity correction: half a plant, before the counts are scaled.
        reached = (wanted - 0.5) / inflation
        alike = special.betainc(reached + 0.5, number - reached + 0.5, self.share)
        size = np.maximum(number - 1.0, _LEAST)
        below = special.betainc(
            self.share * size, (1.0 - self.share) * size, (wanted - 0.5) / grafts
        )
        chances = alike / inflation + (1.0 - 1.0 / inflation) * (1.0 - below)
        return float(min(1.0, self.weight @ chances))

    def fewest_grafts(self, wanted: int, assurance: float) -> int | None:
        """Smallest number of grafts that gives so many plants with this chance.

        Returns
        -------
        int or None
            None when a million grafts are not enough.
        """
        high = wanted
        step = 1.0
        while self.chance(high, wanted) < assurance:
            if high >= MOST_GRAFTS:
                return None
            low = high
            high = min(MOST_GRAFTS, max(high + 1, math.ceil(wanted * (1.0 + 0.1 * step))))
            step *= 1.6
        if high == wanted:
            return wanted
        while high - low > 1:
            middle = (low + high) // 2
            if self.chance(middle, wanted) >= assurance:
                high = middle
            else:
                low = middle
        # A last tray begun can move the chance by a hair: look a few grafts back.
        before = range(max(wanted, high - _LOOK_BACK), high)
        return next((n for n in before if self.chance(n, wanted) >= assurance), high)

    def plants_at(self, grafts: int, chance: float) -> int:
        """Most plants that so many grafts reach with at least this chance."""
        low, high = self._around(grafts, chance)
        while high - low > 1:
            middle = (low + high) // 2
            if self.chance(grafts, middle) >= chance:
                low = middle
            else:
                high = middle
        return low

    def _around(self, grafts: int, chance: float) -> tuple[int, int]:
        """A number of plants reached with at least this chance, and one that is not."""
        second = float(self.weight @ (self.same_season + self.share**2))
        mean = float(self.weight @ self.share)
        spread = math.sqrt(max(0.0, second - mean**2) * grafts**2 + grafts * mean * (1.0 - mean))
        guess = grafts * mean - float(special.ndtri(chance)) * spread
        near = min(grafts, max(1, round(guess)))
        step = max(1, math.ceil(0.1 * spread))
        if self.chance(grafts, near) >= chance:
            low, high = near, min(grafts + 1, near + step)
            while self.chance(grafts, high) >= chance:
                step *= 2
                low, high = high, min(grafts + 1, high + step)
            return low, high
        low, high = max(0, near - step), near
        while self.chance(grafts, low) < chance:
            step *= 2
            low, high = max(0, low - step), low
        return low, high
