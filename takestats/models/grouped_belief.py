"""What can be asked of groups of trays, whichever engine holds them?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import averaged, correlation_of_sigma
from takestats.models.belief import Estimate, Pattern, Population, SpreadEstimate
from takestats.models.grid import level_trays
from takestats.models.grid_pairs import Distribution
from takestats.models.grouped import fit_groups
from takestats.models.grouped_posterior import GroupedPosterior
from takestats.models.spread import Family
from takestats.models.tray_draws import DRAWS, TrayDraws
from takestats.wording.groups import grouped_notes

Floats = NDArray[np.float64]


@runtime_checkable
class GroupedBelief(Protocol):
    """What an engine holds of one named grouping.

    Limits at ``level`` have equal tails: a one-sided limit at .9 is a limit at level .8.
    """

    @property
    def grouping(self) -> str:
        """The column whose levels are the groups."""

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups, in the order of the records."""

    def group_take(self, group: str, level: float) -> Estimate:
        """Take of a group, averaged over its trays: shrunk."""

    def shrunk_by(self, group: str) -> float:
        """Share of a move of the middle that the group's take would follow, 0 to 1."""

    def new_group(self, level: float) -> Estimate:
        """Take of a group not yet seen, averaged over its trays."""

    def mean_take(self, level: float) -> Estimate:
        """Take averaged over groups and trays."""

    def between(self, level: float) -> SpreadEstimate:
        """Spread between groups: a standard deviation on the log-odds scale."""


def limits(belief: Distribution, level: float) -> Estimate:
    """Median and equal-tailed limits."""
    tail = (1.0 - level) / 2.0
    low, middle, high = belief.quantiles((tail, 0.5, 1.0 - tail))
    return Estimate(estimate=middle, low=low, high=high)


def spread_limits(belief: Distribution, level: float) -> SpreadEstimate:
    """Median and equal-tailed limits of a spread."""
    found = limits(belief, level)
    return SpreadEstimate(estimate=found.estimate, low=found.low, high=found.high)


class GroupedGridBelief:
    """One grouping and no other column, on the exact grid.

    Parameters
    ----------
    posterior : GroupedPosterior
        With one middle.
    grouping : str
    groups : sequence of str
    trays_recorded : bool
    """

    def __init__(
        self,
        posterior: GroupedPosterior,
        grouping: str,
        groups: Sequence[str],
        *,
        trays_recorded: bool,
    ) -> None:
        self.posterior = posterior
        self._grouping = grouping
        self._index = {name: i for i, name in enumerate(groups)}
        self._trays_recorded = trays_recorded

    @property
    def grouping(self) -> str:
        """The column whose levels are the groups."""
        return self._grouping

    @property
    def groups(self) -> tuple[str, ...]:
        """The groups, in the order of the records."""
        return tuple(self._index)

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
        shares = [float(weight.sum()) for weight in self.posterior.nodes.weights]
        return grouped_notes(
            self._grouping, len(self._index), shares, trays_recorded=self._trays_recorded
        )

    def group_take(self, group: str, level: float) -> Estimate:
        """Take of a group, averaged over its trays: shrunk."""
        return limits(self.posterior.group_take(self._index[group]), level)

    def shrunk_by(self, group: str) -> float:
        """Share of a move of the middle that the group's take would follow, 0 to 1."""
        return self.posterior.shrunk_by(self._index[group])

    def new_group(self, level: float) -> Estimate:
        """Take of a group not yet seen, averaged over its trays."""
        return limits(self.posterior.new_group(), level)

    def new_tray(self, group: str | None, level: float) -> Estimate:
        """Take of a tray not yet seen: of a group, or of a group not yet seen either."""
        place = None if group is None else self._index[group]
        return limits(self.posterior.new_tray(place), level)

    def mean_take(self, level: float) -> Estimate:
        """Take averaged over groups and trays."""
        return limits(self.posterior.mean_take(), level)

    def between(self, level: float) -> SpreadEstimate:
        """Spread between groups: a standard deviation on the log-odds scale."""
        return spread_limits(self.posterior.between(), level)

    def missing(self, patterns: Iterable[Pattern]) -> set[Pattern]:
        """No other column: nothing can be missing but what was never fitted."""
        return {row for row in patterns if row != ()}

    def take(self, population: Population, level: float) -> Estimate:
        """Take averaged over groups and trays, whatever the mix of groups was."""
        return self.mean_take(level)

    def difference(self, a: Population, b: Population, level: float) -> Estimate:
        """Without another column both populations are one."""
        return Estimate(estimate=0.0, low=0.0, high=0.0, p_value=1.0)

    def log_odds_ratio(
        self, a: Population, b: Population, level: float, *, same_tray: bool
    ) -> Estimate:
        """Without another column both populations are one."""
        return self.difference(a, b, level)

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Log odds of the mean take, as often as it stands in the sum."""
        factor = sum(sign for sign, _ in signs)
        found = self.mean_take(level)
        ends = sorted(factor * float(special.logit(x)) for x in (found.low, found.high))
        middle = factor * float(special.logit(found.estimate))
        return Estimate(estimate=middle, low=ends[0], high=ends[1])

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """Intra-tray correlation within a group."""
        found = self.posterior.correlation()
        return None if found is None else spread_limits(found, level)

    def more_uneven(self, a: str, b: str) -> float:
        """One spread between trays serves every group."""
        return 0.5

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws | None:
        """Even draws of a tray of any group; None where no trays were recorded."""
        if not self._trays_recorded:
            return None
        takes, correlations = middle_draws(self.posterior, DRAWS)
        repeat = (1, len(patterns))
        return TrayDraws(
            takes=np.tile(takes[:, None], repeat),
            correlations=np.tile(correlations[:, None], repeat),
        )


def middle_draws(posterior: GroupedPosterior, number: int) -> tuple[Floats, Floats]:
    """Evenly spaced draws of the mean take and of the correlation of two grafts of one tray.

    The correlation holds what groups and trays add together.
    """
    parts = posterior.middles
    mass = np.concatenate([part.weight * part.mass[0] for part in parts])
    places = (np.arange(number) + 0.5) / number * mass.sum()
    found = np.minimum(np.searchsorted(np.cumsum(mass), places), mass.size - 1)
    cells = parts[0].mass.shape[1]
    which, cell = found // cells, found % cells
    theta = posterior.grid.middles[posterior.nodes.start : posterior.nodes.stop][cell]
    total = np.array([part.total_spread for part in parts])[which]
    rho = np.array([part.correlation for part in parts])[which]
    above = correlation_of_sigma(theta, total)
    takes, _ = averaged(theta, total)
    return takes, np.clip(above + (1.0 - above) * rho, 1e-6, 1.0 - 1e-6)


def grouped_grid_belief(
    taken: Floats,
    tried: Floats,
    group: Sequence[str],
    grouping: str,
    *,
    no_trays: bool = False,
) -> GroupedGridBelief:
    """Fit one grouping without another column.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
        One line per tray.
    group : sequence of str
        The group of each line.
    grouping : str
        Name of the column.
    no_trays : bool
        The counts of a group are one binomial.
    """
    names = list(dict.fromkeys(group))
    at = np.array([names.index(name) for name in group])
    levels = []
    for index in range(len(names)):
        k, n = taken[at == index], tried[at == index]
        if no_trays:
            k, n = k.sum(keepdims=True), n.sum(keepdims=True)
        levels.append(level_trays(k, n, 0))
    families: tuple[Family, ...] = ("binomial",) if no_trays else ("beta_binomial", "logit_normal")
    posterior = GroupedPosterior(*fit_groups(levels, families=families))
    return GroupedGridBelief(posterior, grouping, names, trays_recorded=not no_trays)
