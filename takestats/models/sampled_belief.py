"""The sampled engine, asked for averaged takes, differences, odds ratios and curves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import rough_take_and_correlation
from takestats.models.belief import Estimate, Pattern, Population, SpreadEstimate
from takestats.models.design import Design
from takestats.models.sampled_posterior import SampledPosterior
from takestats.models.tray_draws import DRAWS as TRAY_DRAWS
from takestats.models.tray_draws import TrayDraws
from takestats.models.weighted import even_places, weighted_estimate, weighted_spread
from takestats.wording.models import sampled_notes
from takestats.wording.said import opened

Floats = NDArray[np.float64]


class SampledBelief:
    """Weighted draws of a model of several factors and curves.

    Parameters
    ----------
    posterior : SampledPosterior
    design : Design
    patterns : sequence of Pattern
        One per line of the fit.
    tried : ndarray of shape (lines,)
    trays_recorded : bool
    """

    def __init__(
        self,
        posterior: SampledPosterior,
        design: Design,
        patterns: Sequence[Pattern],
        tried: Floats,
        *,
        trays_recorded: bool,
    ) -> None:
        self._posterior = posterior
        self._design = design
        self._patterns = patterns
        self._tried = tried
        self._trays_recorded = trays_recorded
        self._weights = posterior.weights
        self._known: dict[tuple[tuple[Pattern, float], ...], Floats] = {}

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        parts = [(p.family, p.own_spread, p.probability) for p in self._posterior.parts]
        return (
            *sampled_notes(parts, self._trays_recorded),
            *self._approximations(),
        )

    def _approximations(self) -> tuple[str, ...]:
        """What the draws say of themselves, as sentences."""
        return tuple(f"{opened(note)}." for note in self._posterior.notes)

    @cached_property
    def line_mix(self) -> tuple[Floats, Floats]:
        """Distinct design rows of the lines, and the grafts behind each."""
        grafts: dict[Pattern, float] = {}
        for pattern, tried in zip(self._patterns, self._tried.tolist(), strict=True):
            grafts[pattern] = grafts.get(pattern, 0.0) + tried
        return self._design.matrix(list(grafts)), np.array(list(grafts.values()))

    @property
    def weights(self) -> Floats:
        """Weights of the draws of :meth:`takes`."""
        return self._weights

    def missing(self, patterns: Iterable[Pattern]) -> set[Pattern]:
        """Nothing is missing: without interactions every mix of levels has a take.

        An interaction with an empty cell is refused before the fit.
        """
        del patterns
        return set()

    def _groups(self, patterns: Sequence[Pattern]) -> NDArray[np.intp] | None:
        if self._posterior.levels < 2:
            return None
        levels = self._design.levels[self._design.factors[0]]
        index = {level: i for i, level in enumerate(levels)}
        return np.array([index[str(pattern[0])] for pattern in patterns], dtype=np.intp)

    def takes(self, populations: Sequence[Population]) -> Floats:
        """Averaged takes draw by draw, shape (draws, populations)."""
        keys = [tuple(sorted(p.shares().items(), key=repr)) for p in populations]
        new = [i for i, key in enumerate(keys) if key not in self._known]
        if new:
            rows = list(dict.fromkeys(row for i in new for row, _ in keys[i]))
            place = {row: i for i, row in enumerate(rows)}
            mixing = np.zeros((len(new), len(rows)))
            for at, i in enumerate(new):
                for row, share in keys[i]:
                    mixing[at, place[row]] = share
            found = self._posterior.averaged_take(
                self._design.matrix(rows), row_weights=mixing, spread_group=self._groups(rows)
            )
            for at, i in enumerate(new):
                self._known[keys[i]] = np.ascontiguousarray(found[:, at])
        return np.column_stack([self._known[key] for key in keys])

    def take(self, population: Population, level: float) -> Estimate:
        """Average the take over a population."""
        return weighted_estimate(self.takes([population])[:, 0], self._weights, level)

    def difference(self, a: Population, b: Population, level: float) -> Estimate:
        """Subtract the averaged take of population ``b`` from that of ``a``."""
        both = self.takes([a, b])
        return weighted_estimate(both[:, 0] - both[:, 1], self._weights, level)

    def take_contrast(self, signs: Sequence[tuple[float, Population]], level: float) -> Estimate:
        """Add and subtract several averaged takes, as a difference of two differences."""
        takes = self.takes([population for _, population in signs])
        values = takes @ np.array([sign for sign, _ in signs])
        return weighted_estimate(values, self._weights, level)

    def log_odds_ratio(
        self, a: Population, b: Population, level: float, *, same_tray: bool
    ) -> Estimate:
        """Compare two populations by the log odds ratio of their takes."""
        if not same_tray:
            both = special.logit(np.clip(self.takes([a, b]), 1e-15, 1.0 - 1e-15))
            return weighted_estimate(both[:, 0] - both[:, 1], self._weights, level)
        rows = []
        for population in (a, b):
            shares = population.shares()
            weight = np.array(list(shares.values()))
            rows.append(weight @ self._design.matrix(list(shares)))
        values, weights = self._posterior.same_tray_log_odds((rows[0] - rows[1])[None, :])
        return weighted_estimate(values[:, 0], weights, level)

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Add and subtract the log odds of several averaged takes."""
        takes = np.clip(self.takes([population for _, population in signs]), 1e-15, 1.0 - 1e-15)
        values = special.logit(takes) @ np.array([sign for sign, _ in signs])
        return weighted_estimate(values, self._weights, level)

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """Intra-tray correlation of a level of the first factor, or of all trays."""
        if not self._trays_recorded:
            return None
        mine = [
            i for i, pattern in enumerate(self._patterns) if group is None or pattern[0] == group
        ]
        rows = self._design.matrix([self._patterns[i] for i in mine])
        at = None
        if group is not None and self._posterior.levels > 1:
            at = self._design.levels[self._design.factors[0]].index(group)
        elif group is not None:
            at = 0
        values, weights = self._posterior.tray_correlation(
            rows, row_weights=self._tried[mine], level=at
        )
        return weighted_spread(values, weights, level)

    def more_uneven(self, a: str, b: str) -> float:
        """Probability that trays of ``a`` differ more among themselves than those of ``b``."""
        if not self._trays_recorded or self._posterior.levels < 2:
            return 0.5
        levels = self._design.levels[self._design.factors[0]]
        total = 0.0
        for part in self._posterior.parts:
            if not part.own_spread:
                total += 0.5 * part.probability
                continue
            spread = part.spread_by_draw
            left, right = spread[:, levels.index(a)], spread[:, levels.index(b)]
            wider = (left > right) + 0.5 * (left == right)
            total += part.probability * float(part.weights @ wider)
        return total

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws | None:
        """Even draws behind each pattern; None where no trays were recorded."""
        if not self._trays_recorded:
            return None
        chosen = even_places(self._weights, TRAY_DRAWS)
        matrix, group = self._design.matrix(patterns), self._groups(patterns)
        takes = np.empty((TRAY_DRAWS, len(patterns)))
        correlations = np.empty_like(takes)
        start = 0
        for part in self._posterior.parts:
            mine = np.flatnonzero((chosen >= start) & (chosen < start + part.draws))
            rows = chosen[mine] - start
            start += part.draws
            if not mine.size:
                continue
            spread = part.spread_by_draw[rows]
            columns = np.zeros(len(patterns), dtype=np.intp)
            if group is not None and spread.shape[1] > 1:
                columns = group
            spread = spread[:, columns]
            eta = part.coefficients[rows] @ matrix.T
            if part.family == "logit-normal":
                takes[mine], correlations[mine] = rough_take_and_correlation(eta, spread)
            else:
                takes[mine], correlations[mine] = special.expit(eta), spread
        return TrayDraws(takes=takes, correlations=correlations)
