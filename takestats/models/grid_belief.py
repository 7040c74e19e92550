"""The exact grid, asked for averaged takes, differences and odds ratios."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import correlation_of_sigma, same_tray_log_odds
from takestats.models.belief import Estimate, Pattern, Population, SpreadEstimate
from takestats.models.grid_draws import DRAWS, draw_takes
from takestats.models.grid_pairs import (
    Distribution,
    difference_distribution,
    log_odds_ratio_distribution,
    take_distribution,
)
from takestats.models.grid_posterior import GridPosterior
from takestats.models.grid_spread import correlation_limits, more_uneven
from takestats.models.tray_draws import DRAWS as TRAY_DRAWS
from takestats.models.tray_draws import TrayDraws
from takestats.models.weighted import weighted_estimate
from takestats.wording.models import grid_notes

Floats = NDArray[np.float64]


def _from_distribution(belief: Distribution, level: float) -> Estimate:
    tail = (1.0 - level) / 2.0
    below = belief.probability_below(0.0)
    low, middle, high = belief.quantiles((tail, 0.5, 1.0 - tail))
    p_value = min(1.0, max(2.0 * min(below, 1.0 - below), 2.0 / DRAWS))
    return Estimate(estimate=middle, low=low, high=high, p_value=p_value)


def _from_draws(values: Floats, level: float) -> Estimate:
    return weighted_estimate(values, np.ones_like(values), level)


class GridBelief:
    """The exact grid of one factor's levels, or of the cells of several.

    Parameters
    ----------
    posterior : GridPosterior
    cells : sequence of pattern
        One pattern per level of the grid.
    group_names : list of str
        The levels of the first factor, by their own spread.
    trays_recorded : bool
    seed : int
    """

    def __init__(
        self,
        posterior: GridPosterior,
        cells: Sequence[Pattern],
        group_names: dict[str, int],
        *,
        trays_recorded: bool,
        seed: int,
    ) -> None:
        self._posterior = posterior
        self._index = {pattern: i for i, pattern in enumerate(cells)}
        self._groups = group_names
        self._trays_recorded = trays_recorded
        self._seed = seed

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        return grid_notes(self._posterior.shares.tolist(), self._trays_recorded)

    @cached_property
    def _draws(self) -> tuple[Floats, NDArray[np.int64], Floats]:
        return draw_takes(self._posterior, self._seed)

    def _where(self, population: Population) -> dict[int, float]:
        return {self._index[row]: share for row, share in population.shares().items()}

    def missing(self, patterns: Iterable[Pattern]) -> set[Pattern]:
        """Those patterns that no tray shows."""
        return {row for row in patterns if row not in self._index}

    def _average(self, population: Population) -> Floats:
        takes, _, _ = self._draws
        where = self._where(population)
        return np.asarray(takes[:, list(where)] @ np.array(list(where.values())))

    def take(self, population: Population, level: float) -> Estimate:
        """Average the take over a population."""
        where = self._where(population)
        if len(where) == 1:
            return _from_distribution(take_distribution(self._posterior, *where), level)
        return _from_draws(self._average(population), level)

    def difference(self, a: Population, b: Population, level: float) -> Estimate:
        """Subtract the averaged take of population ``b`` from that of ``a``."""
        at_a, at_b = self._where(a), self._where(b)
        if len(at_a) == 1 and len(at_b) == 1 and at_a.keys() != at_b.keys():
            return _from_distribution(difference_distribution(self._posterior, *at_a, *at_b), level)
        return _from_draws(self._average(a) - self._average(b), level)

    def take_contrast(self, signs: Sequence[tuple[float, Population]], level: float) -> Estimate:
        """Add and subtract several averaged takes, as a difference of two differences."""
        values = np.zeros(self._draws[0].shape[0])
        for sign, population in signs:
            values += sign * self._average(population)
        return _from_draws(values, level)

    def log_odds_ratio(
        self, a: Population, b: Population, level: float, *, same_tray: bool
    ) -> Estimate:
        """Compare two populations by the log odds ratio of their takes."""
        if same_tray:
            return self._same_tray(a, b, level)
        at_a, at_b = self._where(a), self._where(b)
        if len(at_a) == 1 and len(at_b) == 1 and at_a.keys() != at_b.keys():
            return _from_distribution(
                log_odds_ratio_distribution(self._posterior, *at_a, *at_b), level
            )
        return _from_draws(special.logit(self._average(a)) - special.logit(self._average(b)), level)

    def _same_tray(self, a: Population, b: Population, level: float) -> Estimate:
        takes, family, spreads = self._draws
        normal = [fit.nodes.family == "logit_normal" for fit in self._posterior.families]
        if not self._trays_recorded:
            logits = special.logit(takes)
        else:
            chosen = np.asarray(normal)[family]
            logits = same_tray_log_odds(takes[chosen], spreads[chosen])
        values = np.zeros(logits.shape[0])
        for sign, where in ((1.0, self._where(a)), (-1.0, self._where(b))):
            values += sign * (logits[:, list(where)] @ np.array(list(where.values())))
        return _from_draws(values, level)

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Add and subtract the log odds of several averaged takes."""
        if [sign for sign, _ in signs] == [1.0, -1.0]:
            return self.log_odds_ratio(signs[0][1], signs[1][1], level, same_tray=False)
        values = np.zeros(self._draws[0].shape[0])
        for sign, population in signs:
            values += sign * special.logit(self._average(population))
        return _from_draws(values, level)

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """Intra-tray correlation of a level of the first factor, or of all trays."""
        if not self._trays_recorded:
            return None
        tail = (1.0 - level) / 2.0
        everyone = list(range(len(self._posterior.grids)))
        if group is None:
            levels = everyone
        else:
            wanted = self._groups[group]
            levels = [i for i in everyone if int(self._posterior.groups[i]) == wanted]
        low, middle, high = correlation_limits(self._posterior, levels, (tail, 0.5, 1.0 - tail))
        return SpreadEstimate(estimate=middle, low=low, high=high)

    def more_uneven(self, a: str, b: str) -> float:
        """Probability that trays of ``a`` differ more among themselves than those of ``b``."""
        if not self._trays_recorded or self._groups[a] == self._groups[b]:
            return 0.5
        return more_uneven(self._posterior, self._groups[a], self._groups[b])

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws | None:
        """Even draws behind each pattern; None where no trays were recorded."""
        if not self._trays_recorded:
            return None
        step = DRAWS // TRAY_DRAWS
        all_takes, all_family, all_spreads = self._draws
        takes, family, spreads = all_takes[::step], all_family[::step], all_spreads[::step]
        where = [self._index[pattern] for pattern in patterns]
        takes, spreads = takes[:, where], spreads[:, where]
        correlations = spreads.copy()
        names = [fit.nodes.family for fit in self._posterior.families]
        normal = np.array([name == "logit_normal" for name in names])[family]
        theta = same_tray_log_odds(takes[normal], spreads[normal])
        correlations[normal] = correlation_of_sigma(theta, spreads[normal])
        return TrayDraws(takes=takes, correlations=correlations)
