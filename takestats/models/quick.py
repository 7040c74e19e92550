"""What does the back of an envelope say, with trays respected? The effective number.

A closed form for raw rates on a page and as a yardstick of width. Never the
headline: in simulated trials its limits fell short more often than those of
the tray model.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.errors import CountsError
from takestats.interval import wilson_limits
from takestats.models.belief import Estimate, Pattern, Population, SpreadEstimate
from takestats.models.correlation import intra_tray_correlation
from takestats.models.crossing import crossing
from takestats.models.tray_draws import TrayDraws
from takestats.models.two_counts import square_and_add
from takestats.wording.models import quick_notes

Floats = NDArray[np.float64]

_PRIOR_DF = 4.0
_PRIOR_CORRELATION = 0.1


@dataclass(frozen=True, eq=False, kw_only=True)
class QuickRates:
    """Raw rates with one pooled dispersion.

    Parameters
    ----------
    taken, tried, trays : ndarray of shape (groups,)
    dispersion : float
        How many times too small the binomial variance is, at least 1.
    raw_dispersion : float
        Before the weak prior was added.
    df : float
        Degrees of freedom of the t quantile.
    """

    taken: Floats
    tried: Floats
    trays: Floats
    dispersion: float
    raw_dispersion: float
    df: float

    def as_if_independent(self) -> QuickRates:
        """The same rates, every graft counted as if it stood alone."""
        return replace(self, dispersion=1.0, raw_dispersion=1.0, df=1e6)

    def limits(self, group: int, level: float) -> tuple[float, float, float]:
        """Rate of a group and its limits."""
        rate = float(self.taken[group] / self.tried[group])
        quantile = float(special.stdtrit(self.df, 0.5 + level / 2.0))
        low, high = wilson_limits(rate, float(self.tried[group]) / self.dispersion, quantile)
        return rate, low, high


def _raw_dispersion(taken: Floats, tried: Floats, codes: NDArray[np.int64]) -> float:
    """Pooled dispersion, ratio of sums; unequal trays through the tray correlation."""
    rates = np.bincount(codes, taken) / np.bincount(codes, tried)
    trays = np.bincount(codes)
    chance = float(np.sum(rates * (1.0 - rates)))
    if chance <= 0.0 or taken.size <= trays.size:
        return 1.0
    if np.all(tried == tried[0]):
        own = taken / tried
        mean = np.bincount(codes, own) / trays
        square = np.bincount(codes, (own - mean[codes]) ** 2)
        varied = trays > 1
        variance = square[varied] / (trays[varied] - 1)
        return float(tried[0] * np.sum(variance) / np.sum((rates * (1 - rates))[varied]))
    try:
        correlation = intra_tray_correlation(taken, tried, codes).estimate
    except CountsError:
        return 1.0
    return float(1.0 + (np.sum(tried**2) / np.sum(tried) - 1.0) * correlation)


def quick_rates(taken: Floats, tried: Floats, codes: NDArray[np.int64]) -> QuickRates:
    """Raw rates of groups of trays with the effective number.

    Parameters
    ----------
    taken, tried : ndarray of shape (trays,)
    codes : ndarray of int, shape (trays,)
        Group of each tray, from 0 without gaps.

    Notes
    -----
    ``phi = max(1, (df phi_r + 4 (1 + .1 (nbar - 1))) / (df + 4))``, ``df`` trays
    minus groups; Wilson limits on ``N / phi`` with a t quantile on ``df + 4``.
    Groups in which nothing varies carry no dispersion of their own.
    """
    groups = int(codes.max()) + 1
    df = float(taken.size - groups)
    raw = _raw_dispersion(taken, tried, codes)
    if not math.isfinite(raw):
        raw = 1.0
    assumed = 1.0 + _PRIOR_CORRELATION * (float(tried.mean()) - 1.0)
    phi = max(1.0, (df * raw + _PRIOR_DF * assumed) / (df + _PRIOR_DF))
    return QuickRates(
        taken=np.bincount(codes, taken, groups).astype(float),
        tried=np.bincount(codes, tried, groups).astype(float),
        trays=np.bincount(codes, minlength=groups).astype(float),
        dispersion=phi,
        raw_dispersion=raw,
        df=df + _PRIOR_DF,
    )


def _logit(share: float) -> float:
    if share <= 0.0:
        return -math.inf
    return math.inf if share >= 1.0 else math.log(share / (1.0 - share))


class QuickBelief:
    """The quick closed form, asked for takes and differences.

    Parameters
    ----------
    rates : QuickRates
    cells : sequence of pattern
        One pattern per group.
    no_trays : bool
        No trays were recorded.
    """

    def __init__(
        self, rates: QuickRates, cells: Sequence[Pattern], *, no_trays: bool = False
    ) -> None:
        self._no_trays = no_trays
        self._rates = rates
        self._index = {pattern: i for i, pattern in enumerate(cells)}

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        return quick_notes(self._rates.dispersion, self._rates.df, no_trays=self._no_trays)

    def missing(self, patterns: Iterable[Pattern]) -> set[Pattern]:
        """Those patterns that no tray shows."""
        return {row for row in patterns if row not in self._index}

    def _average(self, population: Population, level: float) -> tuple[float, float, float]:
        middle = low = high = 0.0
        for row, weight in population.shares().items():
            rate, below, above = self._rates.limits(self._index[row], level)
            middle += weight * rate
            low += (weight * (rate - below)) ** 2
            high += (weight * (above - rate)) ** 2
        return middle, max(0.0, middle - math.sqrt(low)), min(1.0, middle + math.sqrt(high))

    def take(self, population: Population, level: float) -> Estimate:
        """Average the take over a population."""
        rate, low, high = self._average(population, level)
        return Estimate(estimate=rate, low=low, high=high)

    def difference(self, a: Population, b: Population, level: float) -> Estimate:
        """Subtract the averaged take of population ``b`` from that of ``a``."""

        def limits(at: float) -> tuple[float, float, float]:
            rate_a, low_a, high_a = self._average(a, at)
            rate_b, low_b, high_b = self._average(b, at)
            low, high = square_and_add(rate_a, (low_a, high_a), rate_b, (low_b, high_b))
            return rate_a - rate_b, low, high

        gap, low, high = limits(level)

        def nearest(at: float) -> float:
            _, below, above = limits(at)
            return below if gap > 0.0 else -above

        if gap == 0.0 or nearest(1e-9) <= 0.0:
            p_value = 1.0
        elif nearest(1.0 - 1e-9) > 0.0:
            p_value = 1e-9
        else:
            p_value = 1.0 - crossing(nearest, 1e-9, 1.0 - 1e-9)
        return Estimate(estimate=gap, low=low, high=high, p_value=p_value)

    def log_odds_ratio(
        self, a: Population, b: Population, level: float, *, same_tray: bool
    ) -> Estimate:
        """Compare by the log odds ratio, limits by square-and-add on the logit scale."""
        del same_tray
        return self.log_odds_contrast([(1.0, a), (-1.0, b)], level)

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Add and subtract log odds, limits by square-and-add.

        With a level at 0 or 100 % there is no closed form: the widest limits
        that the levels' own limits allow, and no difference where infinite log
        odds meet.
        """
        middles, lows, highs = [], [], []
        for sign, population in signs:
            middle, down, up = (sign * _logit(x) for x in self._average(population, level))
            middles.append(middle)
            lows.append(min(down, up))
            highs.append(max(down, up))
        if not all(map(math.isfinite, middles)):
            gap = sum(middles)
            return Estimate(
                estimate=0.0 if math.isnan(gap) else gap,
                low=-math.inf if -math.inf in lows else sum(lows),
                high=math.inf if math.inf in highs else sum(highs),
            )
        gap = sum(middles)
        return Estimate(
            estimate=gap,
            low=gap - math.hypot(*(m - x for m, x in zip(middles, lows, strict=True))),
            high=gap + math.hypot(*(x - m for m, x in zip(middles, highs, strict=True))),
        )

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """The quick form has one dispersion and no limits for it."""
        del group, level
        return None

    def more_uneven(self, a: str, b: str) -> float:
        """The quick form cannot tell."""
        del a, b
        return 0.5

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws | None:
        """One draw: the raw rates with the pooled dispersion turned into a correlation."""
        if self._no_trays:
            return None
        rates = self._rates
        where = [self._index[pattern] for pattern in patterns]
        takes = np.clip(rates.taken[where] / rates.tried[where], 1e-3, 1.0 - 1e-3)
        size = float(rates.tried.sum() / rates.trays.sum())
        correlation = np.clip((rates.dispersion - 1.0) / max(size - 1.0, 1.0), 1e-4, 0.9)
        return TrayDraws(takes=takes[None, :], correlations=np.full((1, takes.size), correlation))
