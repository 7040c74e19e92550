"""What are the groups of a fit with further columns worth, shrunk to one another?"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from takestats.models.belief import Estimate, Pattern
from takestats.models.design import Design
from takestats.models.layered_belief import LayeredBelief
from takestats.models.layered_posterior import LayeredPosterior
from takestats.models.weighted import even_estimate, weighted_estimate

Floats = NDArray[np.float64]


class LayeredGrouping(LayeredBelief):
    """A named grouping beside factors or curves; takes at the mix of all lines of the fit.

    Parameters
    ----------
    posterior : LayeredPosterior
    design : Design
    patterns : sequence of Pattern
        One per line of the fit.
    tried : ndarray of shape (lines,)
    grouping : str
        The column whose levels are the groups.
    """

    def __init__(
        self,
        posterior: LayeredPosterior,
        design: Design,
        patterns: Sequence[Pattern],
        tried: Floats,
        *,
        grouping: str,
    ) -> None:
        super().__init__(posterior, design, patterns, tried, called=grouping)
        self._grouping = grouping
        self._mix, self._share = self.line_mix

    @property
    def grouping(self) -> str:
        """The column whose levels are the groups."""
        return self._grouping

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups, in the order of the draws."""
        return tuple(str(name) for name in self.group_draws.names)

    @cached_property
    def _takes(self) -> Floats:
        """Takes of all groups, one column each, even draws."""
        return self.group_draws.takes(self._mix, self._share)

    def group_take(self, group: str, level: float) -> Estimate:
        """Take of a group at the mix of all lines, averaged over its trays: shrunk."""
        return even_estimate(self._takes[:, self.groups.index(group)], level)

    def shrunk_by(self, group: str) -> float:
        """Share of a move of the middle that the group's take would follow, 0 to 1.

        One more than the slope of the group's effect on the middle, over the draws.
        """
        draws = self.group_draws
        middle = draws.coefficients @ (self._share @ self._mix / self._share.sum())
        effect = draws.effects[:, self.groups.index(group)]
        away = middle - middle.mean()
        slope = float(away @ effect) / max(float(away @ away), 1e-300)
        return float(np.clip(1.0 + slope, 0.0, 1.0))

    def new_group(self, level: float) -> Estimate:
        """Take of a group not yet seen, averaged over its trays."""
        return even_estimate(self.group_draws.new_group(self._mix, self._share), level)

    def mean_take(self, level: float) -> Estimate:
        """Take averaged over groups and trays, at the mix of all lines."""
        takes = self.posterior.averaged_take(self._mix, row_weights=self._share[None, :])[:, 0]
        return weighted_estimate(takes, self.posterior.weights, level)
