"""Which spreads are groups of trays averaged over, and how likely is each group at a middle?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from takestats.models.grouped_scale import LogitGrid, layer, prior_masses
from takestats.models.grouped_tables import GroupTables
from takestats.models.spread import Family, SpreadNodes

Floats = NDArray[np.float64]

FLOOR = 1e-300


@dataclass(frozen=True, eq=False, kw_only=True)
class FamilyWeights:
    """One family's half of the posterior of the two spreads.

    Parameters
    ----------
    nodes : SpreadNodes
        Of the spread between trays.
    log_evidence : ndarray of shape (nodes, between)
        Without the prior masses of the nodes; minus infinity where not worked out.
    middle, width : ndarray of shape (nodes, between)
        Mean and least standard deviation of the middles on the logit scale.
    """

    nodes: SpreadNodes
    log_evidence: Floats
    middle: Floats
    width: Floats


@dataclass(frozen=True, eq=False, kw_only=True)
class GroupedNodes:
    """The spreads that were averaged over, with their weights.

    Parameters
    ----------
    grid : LogitGrid
    start, stop : int
        The cells among which the middles lie.
    kinds : ndarray of int, shape (groups,)
        The kind each group belongs to, in rising order.
    between : SpreadNodes
        Of the spread between groups, for a half-normal prior of scale 1.5.
    scale : float
        What the values of ``between`` are multiplied by.
    families : tuple of FamilyWeights
    weights : tuple of ndarray of shape (nodes, between), one per family
        Sum to 1 over all families.
    log_evidence : float
        Of the records, averaged over everything.
    """

    grid: LogitGrid
    start: int
    stop: int
    kinds: NDArray[np.int64]
    between: SpreadNodes
    scale: float
    families: tuple[FamilyWeights, ...]
    weights: tuple[Floats, ...]
    log_evidence: float

    @property
    def between_values(self) -> Floats:
        """Spreads between groups, on the logit scale."""
        return self.between.values * self.scale


def by_kind(values: Floats, kinds: NDArray[np.int64]) -> Floats:
    """Sum over the groups of each kind, along the second axis."""
    return np.asarray(np.add.reduceat(values, np.unique(kinds, return_index=True)[1], axis=1))


def log_middles(
    tables: GroupTables,
    nodes: GroupedNodes,
    family: Family,
    spreads: Sequence[float],
    between: float,
) -> tuple[Floats, Floats]:
    """Log likelihood of each group for every middle, its own take summed out.

    Returns
    -------
    logs : ndarray of shape (spreads, groups, middles)
        Highest possible value 0.
    log_top : ndarray of shape (spreads, groups)
        To be added.
    """
    found = [tables.table(nodes.grid, family, spread) for spread in spreads]
    stacked = np.concatenate([table.value for table in found])
    mass = stacked @ layer(nodes.grid, between, nodes.start, nodes.stop)
    logs = np.log(np.maximum(mass, FLOOR)).reshape(len(found), -1, nodes.stop - nodes.start)
    return logs, np.array([table.log_top for table in found])


def log_priors(nodes: GroupedNodes, total_spreads: Floats) -> Floats:
    """Log prior mass of the middles at these spreads over everything, (spreads, middles)."""
    mass = prior_masses(nodes.grid, total_spreads)[:, nodes.start : nodes.stop]
    return np.log(np.maximum(mass, FLOOR))


def total_spreads(family: Family, spreads: Floats, between: float) -> Floats:
    """Standard deviation over groups and trays; a beta-binomial tray has its mean at the group."""
    within = spreads if family == "logit_normal" else np.zeros_like(spreads)
    return np.sqrt(within**2 + between**2)
