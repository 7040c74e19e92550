"""What does the exact grid hold once it has seen the trays?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from takestats.models.phi_grid import PhiGrid
from takestats.models.spread import SpreadNodes

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, kw_only=True)
class FamilyFit:
    """One family's half of the posterior.

    Parameters
    ----------
    nodes : SpreadNodes
    densities : tuple of ndarray, one per level, each (nodes, cells)
        Mass of each take cell given the spread; rows sum to 1.
    log_evidence : ndarray of shape (levels, nodes)
        Log of each level's averaged likelihood given the spread.
    common : ndarray of shape (nodes,)
        Weight of each node when all trays share one spread; sums to 1.
    own : ndarray of shape (groups, nodes)
        Weight of each node for each own spread; rows sum to 1.
    log_common, log_own : float
        Log evidence of the two parts.
    """

    nodes: SpreadNodes
    densities: tuple[Floats, ...]
    log_evidence: Floats
    common: Floats
    own: Floats
    log_common: float
    log_own: float


@dataclass(frozen=True, eq=False, kw_only=True)
class GridPosterior:
    """The averaged parts, level by level.

    Parameters
    ----------
    grids : tuple of PhiGrid
        One per level.
    groups : ndarray of int, shape (levels,)
        The own spread each level belongs to.
    families : tuple of FamilyFit
    shares : ndarray of shape (families, 2)
        Posterior probability of each part: common spread, own spreads.
    """

    grids: tuple[PhiGrid, ...]
    groups: NDArray[np.int64]
    families: tuple[FamilyFit, ...]
    shares: Floats


def level_density(posterior: GridPosterior, level: int) -> Floats:
    """Mass of each take cell of a level, averaged over all parts and spreads."""
    total = np.zeros(posterior.grids[level].cells)
    group = posterior.groups[level]
    for fit, share in zip(posterior.families, posterior.shares, strict=True):
        weights = share[0] * fit.common + share[1] * fit.own[group]
        total += weights @ fit.densities[level]
    return total
