"""Two groupings that cross, asked for averaged takes, differences and either grouping's groups."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import averaged, correlation_of_sigma
from takestats.models.belief import Estimate, Pattern, SpreadEstimate
from takestats.models.design import Design
from takestats.models.layered_crossed_fit import CrossedPosterior
from takestats.models.sampled_belief import SampledBelief
from takestats.models.weighted import (
    even_estimate,
    even_places,
    weighted_estimate,
    weighted_spread,
)
from takestats.wording.layered import crossed_notes

Floats = NDArray[np.float64]

_TRAYS = 2
_DRAWS = 4096


class CrossedBelief(SampledBelief):
    """Weighted draws of a fit with two groupings that cross.

    Parameters
    ----------
    posterior : CrossedPosterior
    design : Design
    patterns : sequence of Pattern
        One per line of the fit.
    tried : ndarray of shape (lines,)
    groupings : tuple of two str
        The columns whose levels are the groups.
    """

    def __init__(
        self,
        posterior: CrossedPosterior,
        design: Design,
        patterns: Sequence[Pattern],
        tried: Floats,
        *,
        groupings: tuple[str, str],
    ) -> None:
        super().__init__(posterior, design, patterns, tried, trays_recorded=True)
        self.crossed = posterior
        self.groupings = groupings
        self.mix, grafts = self.line_mix
        self.share = grafts / grafts.sum()

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        sizes = [names.size for names in self.crossed.names]
        told = crossed_notes(dict(zip(self.groupings, sizes, strict=True)))
        return (*told, *self._approximations())

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """Correlation within trays of one group of each grouping; one spread for all."""
        mine = [
            i for i, pattern in enumerate(self._patterns) if group is None or pattern[0] == group
        ]
        rows = self._design.matrix([self._patterns[i] for i in mine])
        middle = (self._tried[mine] / self._tried[mine].sum()) @ rows
        sigma, weights = self.crossed.spread_draws(_TRAYS)
        values = correlation_of_sigma(self.crossed.coefficients @ middle, sigma)
        return weighted_spread(values, weights, level)

    def view(self, grouping: str) -> CrossedGroups:
        """One of the two groupings, its groups told apart."""
        return CrossedGroups(self, grouping)


class CrossedGroups:
    """One grouping of two that cross: what its groups are worth, shrunk to one another.

    Parameters
    ----------
    belief : CrossedBelief
    grouping : str
        One of its groupings.
    """

    def __init__(self, belief: CrossedBelief, grouping: str) -> None:
        self._belief = belief
        self._grouping = grouping
        self._which = belief.groupings.index(grouping)

    @property
    def grouping(self) -> str:
        """The column whose levels are the groups."""
        return self._grouping

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups, in the order of the draws."""
        return tuple(str(name) for name in self._belief.crossed.names[self._which])

    @cached_property
    def _takes(self) -> Floats:
        belief = self._belief
        return belief.crossed.takes(belief.mix, self._which, belief.share)

    @cached_property
    def _even(self) -> tuple[Floats, Floats, Floats]:
        """Even draws: log odds of each pattern; this grouping's SD; SD of all the rest."""
        post = self._belief.crossed
        at = even_places(post.weights, _DRAWS)
        own = post.spread_draws(self._which)[0][at]
        rest = np.hypot(post.spread_draws(1 - self._which)[0][at], post.spread_draws(_TRAYS)[0][at])
        return post.coefficients[at] @ self._belief.mix.T, own, rest

    def group_take(self, group: str, level: float) -> Estimate:
        """Take of a group, averaged over the other grouping and over trays: shrunk."""
        return even_estimate(self._takes[:, self.groups.index(group)], level)

    def shrunk_by(self, group: str) -> float:
        """Share of a move of the middle that the group's take would follow, 0 to 1.

        The slope of the log odds of its take on the middle's, over the draws.
        """
        post = self._belief.crossed
        at = even_places(post.weights, self._takes.shape[0])
        middle = post.coefficients[at] @ (self._belief.share @ self._belief.mix)
        away = middle - middle.mean()
        own = special.logit(np.clip(self._takes[:, self.groups.index(group)], 1e-12, 1.0 - 1e-12))
        return float(np.clip(away @ own / max(float(away @ away), 1e-300), 0.0, 1.0))

    def new_group(self, level: float) -> Estimate:
        """Take of a group not yet seen, averaged over the other grouping and over trays."""
        eta, own, rest = self._even
        z = np.random.default_rng([self._belief.crossed.seed, 41]).standard_normal(own.size)
        takes = averaged(eta + (own * z)[:, None], np.broadcast_to(rest[:, None], eta.shape))[0]
        return even_estimate(takes @ self._belief.share, level)

    def mean_take(self, level: float) -> Estimate:
        """Take averaged over both groupings and trays, at the mix of all lines."""
        belief = self._belief
        takes = belief.crossed.averaged_take(belief.mix, row_weights=belief.share[None, :])[:, 0]
        return weighted_estimate(takes, belief.crossed.weights, level)

    def between(self, level: float) -> SpreadEstimate:
        """Spread between groups: a standard deviation on the log-odds scale."""
        return weighted_spread(*self._belief.crossed.spread_draws(self._which), level)
