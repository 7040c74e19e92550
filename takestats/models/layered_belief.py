"""A fit of two layers, asked for averaged takes, differences, odds ratios and groups."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import rough_take_and_correlation
from takestats.models.belief import Pattern, SpreadEstimate
from takestats.models.design import Design
from takestats.models.layered_groups import GroupDraws
from takestats.models.layered_groups import group_draws as draw_groups
from takestats.models.layered_posterior import LayeredPosterior
from takestats.models.layered_quantiles import QuantileModel
from takestats.models.sampled_belief import SampledBelief
from takestats.models.tray_draws import DRAWS as TRAY_DRAWS
from takestats.models.tray_draws import TrayDraws
from takestats.models.weighted import even_places, weighted_spread
from takestats.wording.layered import layered_notes, rows_notes

Floats = NDArray[np.float64]


class LayeredBelief(SampledBelief):
    """Weighted draws of a fit with groups above the trays, or several rows in each.

    Parameters
    ----------
    posterior : LayeredPosterior
    design : Design
    patterns : sequence of Pattern
        One per line of the fit.
    tried : ndarray of shape (lines,)
    called : str
        What one group is called: block, season, combination.
    """

    def __init__(
        self,
        posterior: LayeredPosterior,
        design: Design,
        patterns: Sequence[Pattern],
        tried: Floats,
        *,
        called: str = "group",
    ) -> None:
        super().__init__(posterior, design, patterns, tried, trays_recorded=True)
        self._layered = posterior
        self._called = called

    @property
    def posterior(self) -> LayeredPosterior:
        """The draws themselves."""
        return self._layered

    @cached_property
    def group_draws(self) -> GroupDraws:
        """Even draws of each group's own effect, and of a new one's."""
        return draw_groups(self._layered)

    def between(self, level: float) -> SpreadEstimate:
        """Spread between groups: a standard deviation on the log-odds scale."""
        return weighted_spread(*self._layered.spread_draws("group"), level)

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        post = self._layered
        parts = [(part.family, part.view.probability) for part in post.layered]
        if post.layer == "grouping":
            told = layered_notes(parts, post.rows.units, self._called)
        else:
            row_effect = not any(part.model.axes[1].none for part in post.layered)
            told = rows_notes(parts, row_effect=row_effect)
        return (*told, *self._approximations())

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws:
        """Even draws behind each pattern: a tray of any group, not of its own."""
        chosen = even_places(self._weights, TRAY_DRAWS)
        matrix = self._design.matrix(patterns)
        takes = np.empty((TRAY_DRAWS, len(patterns)))
        correlations = np.empty_like(takes)
        start = 0
        for part in self._layered.layered:
            mine = np.flatnonzero((chosen >= start) & (chosen < start + part.view.draws))
            rows = chosen[mine] - start
            start += part.view.draws
            if not mine.size:
                continue
            eta = part.view.coefficients[rows] @ matrix.T
            inner = np.broadcast_to(part.by_draw(part.inner)[rows][:, None], eta.shape)
            if isinstance(part.model, QuantileModel):
                takes[mine], correlations[mine] = special.expit(eta), inner
                continue
            spread = np.broadcast_to(part.view.spread_by_draw[rows], eta.shape)
            takes[mine], shared = rough_take_and_correlation(eta, spread)
            own = inner if part.family == "beta-binomial" else np.zeros_like(eta)
            correlations[mine] = shared + (1.0 - shared) * own
        return TrayDraws(takes=takes, correlations=correlations)
