"""A likelihood fit or estimating equations, asked for averaged takes and differences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from takestats.models.belief import Estimate, Pattern, Population, SpreadEstimate
from takestats.models.design import Design
from takestats.models.tray_draws import TrayDraws
from takestats.models.wald import WaldFit, as_it_is, as_log_odds
from takestats.wording.second_look import wald_notes

Floats = NDArray[np.float64]


class WaldBelief:
    """Coefficients with Wald limits.

    Parameters
    ----------
    fit : WaldFit
    design : Design
    """

    def __init__(self, fit: WaldFit, design: Design) -> None:
        self._fit = fit
        self._design = design

    @property
    def coefficients(self) -> Floats:
        """Coefficients of the design, in its order."""
        return self._fit.coefficients.copy()

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        return wald_notes(self._fit.method, self._fit.spread, self._fit.log_likelihood)

    def missing(self, patterns: Iterable[Pattern]) -> set[Pattern]:
        """Nothing is missing: every mix of levels has a take."""
        del patterns
        return set()

    def _rows(self, population: Population) -> tuple[Floats, Floats]:
        shares = population.shares()
        return self._design.matrix(list(shares)), np.array(list(shares.values()))

    def take(self, population: Population, level: float) -> Estimate:
        """Average the take over a population."""
        return self._fit.take(*self._rows(population), level)

    def difference(self, a: Population, b: Population, level: float) -> Estimate:
        """Subtract the averaged take of population ``b`` from that of ``a``."""
        signed = [(1.0, *self._rows(a)), (-1.0, *self._rows(b))]
        found = self._fit.contrast(signed, level, as_it_is)
        return Estimate(
            estimate=found.estimate,
            low=max(-1.0, found.low),
            high=min(1.0, found.high),
            p_value=found.p_value,
        )

    def take_contrast(self, signs: Sequence[tuple[float, Population]], level: float) -> Estimate:
        """Add and subtract several averaged takes, as a difference of two differences."""
        signed = [(sign, *self._rows(population)) for sign, population in signs]
        return self._fit.contrast(signed, level, as_it_is)

    def log_odds_ratio(
        self, a: Population, b: Population, level: float, *, same_tray: bool
    ) -> Estimate:
        """Compare two populations by the log odds ratio of their averaged takes."""
        del same_tray
        return self.log_odds_contrast([(1.0, a), (-1.0, b)], level)

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Add and subtract the log odds of several averaged takes."""
        signed = [(sign, *self._rows(population)) for sign, population in signs]
        return self._fit.contrast(signed, level, as_log_odds)

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """No limits of an intra-tray correlation come with these methods."""
        del group, level
        return None

    def more_uneven(self, a: str, b: str) -> float:
        """These methods assume one spread."""
        del a, b
        return 0.5

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws | None:
        """No draws."""
        del patterns
        return None
