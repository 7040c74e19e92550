"""How do the trays of each level move our belief about its take? The exact grid.

Four parts are averaged: beta-binomial and logit-normal trays, each with one
spread for all trays and with an own spread for each level of the first factor.
Given the spread the levels are independent, so every sum is exact: no draws,
no search for a mode.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from takestats.models.likelihoods import log_likelihood
from takestats.models.phi_grid import (
    CELLS,
    TOP,
    USUAL_LOW,
    PhiGrid,
    usual_grid,
    whole_grid,
    zoomed_grid,
)
from takestats.models.spread import Family, SpreadNodes, refined_nodes, standard_nodes

Floats = NDArray[np.float64]

_ENOUGH_NODES = 2.5
_MOST_REFINEMENTS = 5
_NARROW_IN_CELLS = 1.5
_ZOOM_SPREADS = 8.0
_VISIBLE = 1e-4


@dataclass(frozen=True, eq=False, kw_only=True)
class LevelTrays:
    """The trays of one level (or of one cell of several factors).

    Parameters
    ----------
    taken, tried, times : ndarray of shape (distinct trays,)
        Counts, and how many trays had them.
    group : int
        Which own spread the level has: the level of the first factor.
    """

    taken: Floats
    tried: Floats
    times: Floats
    group: int

    @property
    def trays(self) -> float:
        """How many trays."""
        return float(self.times.sum())


def level_trays(taken: Floats, tried: Floats, group: int) -> LevelTrays:
    """Gather a level's trays; equal ones become one line with a multiplicity."""
    pairs = np.column_stack([taken, tried])
    distinct, times = np.unique(pairs, axis=0, return_counts=True)
    return LevelTrays(
        taken=distinct[:, 0], tried=distinct[:, 1], times=times.astype(float), group=group
    )


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


def _weights(log_values: Floats) -> tuple[Floats, float]:
    top = float(log_values.max())
    value = np.exp(log_values - top)
    total = float(value.sum())
    return value / total, top + float(np.log(total))


def _level_density(trays: LevelTrays, nodes: SpreadNodes, grid: PhiGrid) -> tuple[Floats, Floats]:
    logs = log_likelihood(trays.taken, trays.tried, trays.times, nodes, grid)
    top = logs.max(axis=1, keepdims=True)
    mass = np.exp(logs - top)
    total = mass.sum(axis=1, keepdims=True)
    evidence = (top + np.log(total))[:, 0] + np.log(grid.step / TOP)
    return mass / total, evidence


def _family_fit(
    levels: Sequence[LevelTrays],
    grids: Sequence[PhiGrid],
    nodes: SpreadNodes,
    groups: int,
) -> FamilyFit:
    worked = [_level_density(trays, nodes, grid) for trays, grid in zip(levels, grids, strict=True)]
    evidence = np.array([item[1] for item in worked])
    common, log_common = _weights(evidence.sum(axis=0) + nodes.log_mass)
    own = np.empty((groups, nodes.size))
    log_own = 0.0
    for group in range(groups):
        chosen = [i for i, trays in enumerate(levels) if trays.group == group]
        own[group], part = _weights(evidence[chosen].sum(axis=0) + nodes.log_mass)
        log_own += part
    return FamilyFit(
        nodes=nodes,
        densities=tuple(item[0] for item in worked),
        log_evidence=evidence,
        common=common,
        own=own,
        log_common=log_common,
        log_own=log_own,
    )


def _settled(
    levels: Sequence[LevelTrays],
    grids: Sequence[PhiGrid],
    family: Family,
    groups: int,
    fineness: int,
) -> FamilyFit:
    """Fit one family, with more spread nodes wherever the records outrun the standard ones."""
    fit = _family_fit(levels, grids, standard_nodes(family, fineness), groups)
    if family == "binomial":
        return fit
    for _ in range(_MOST_REFINEMENTS):
        sharp = [
            int(weights.argmax())
            for weights in [fit.common, *(fit.own if groups > 1 else [])]
            if 1.0 / np.sum(weights**2) < _ENOUGH_NODES
        ]
        # The widest and the narrowest node have no neighbour to share with:
        # a likelihood that is flat there is no sharp posterior.
        sharp = sorted(index for index in set(sharp) if not _flat_end(fit, index))
        if not sharp:
            break
        fit = _family_fit(levels, grids, refined_nodes(fit.nodes, sharp), groups)
    return fit


def _flat_end(fit: FamilyFit, index: int) -> bool:
    evidence = fit.log_evidence.sum(axis=0)
    if index == 0:
        return abs(float(evidence[1] - evidence[0])) < 0.5
    if index == fit.nodes.size - 1:
        return abs(float(evidence[-1] - evidence[-2])) < 0.5
    return False


def _moments(posterior: GridPosterior, level: int) -> tuple[float, float]:
    density = level_density(posterior, level)
    middles = posterior.grids[level].middles
    mean = float(density @ middles)
    return mean, float(np.sqrt(density @ (middles - mean) ** 2))


def level_density(posterior: GridPosterior, level: int) -> Floats:
    """Mass of each take cell of a level, averaged over all parts and spreads."""
    total = np.zeros(posterior.grids[level].cells)
    group = posterior.groups[level]
    for fit, share in zip(posterior.families, posterior.shares, strict=True):
        weights = share[0] * fit.common + share[1] * fit.own[group]
        total += weights @ fit.densities[level]
    return total


def _assemble(
    levels: Sequence[LevelTrays],
    grids: Sequence[PhiGrid],
    families: Sequence[Family],
    fineness: int,
) -> GridPosterior:
    groups = np.array([trays.group for trays in levels])
    number = int(groups.max()) + 1
    fits = tuple(_settled(levels, grids, family, number, fineness) for family in families)
    logs = np.array([[fit.log_common, fit.log_own if number > 1 else -np.inf] for fit in fits])
    shares = np.exp(logs - logs.max())
    return GridPosterior(
        grids=tuple(grids), groups=groups, families=fits, shares=shares / shares.sum()
    )


def spread_groups(groups: Sequence[int], trays: Sequence[float]) -> list[int]:
    """Decide which levels may have an own spread.

    Groups of a single tray cannot show a spread of their own: they share one
    with each other, and with the only other group when there is just one.

    Examples
    --------
    >>> spread_groups([0, 1, 2], [5, 1, 1]), spread_groups([0, 0, 1], [1, 1, 4])
    ([0, 0, 0], [0, 0, 1])
    """
    total: dict[int, float] = {}
    for group, number in zip(groups, trays, strict=True):
        total[group] = total.get(group, 0.0) + number
    rich = [group for group in total if total[group] > 1]
    if len(rich) < 2:
        return [0] * len(groups)
    order = {group: index for index, group in enumerate(rich)}
    return [order.get(group, len(rich)) for group in groups]


def fit_grid(
    levels: Sequence[LevelTrays],
    *,
    families: Sequence[Family] = ("beta_binomial", "logit_normal"),
    cells: int = CELLS,
    fineness: int = 1,
) -> GridPosterior:
    """Fit the tray model to the trays of each level on the exact grid.

    Parameters
    ----------
    levels : sequence of LevelTrays
        ``group`` numbers run from 0 without gaps.
    families : sequence of str
        ``("binomial",)`` when no trays were recorded.
    cells, fineness : int
        Take cells per level; 2 doubles the spread nodes (for checks).

    Returns
    -------
    GridPosterior
    """
    low_takes = any(
        float((t.taken * t.times).sum()) < 0.35 * float((t.tried * t.times).sum()) for t in levels
    )
    grid = whole_grid(cells) if low_takes else usual_grid(cells)
    posterior = _assemble(levels, [grid] * len(levels), families, fineness)
    if grid.low == USUAL_LOW and any(
        level_density(posterior, i)[0] > _VISIBLE * level_density(posterior, i).max()
        for i in range(len(levels))
    ):
        grid = whole_grid(cells)
        posterior = _assemble(levels, [grid] * len(levels), families, fineness)
    grids = list(posterior.grids)
    for _ in range(_MOST_REFINEMENTS):
        narrow = False
        for index in range(len(levels)):
            mean, spread = _moments(posterior, index)
            if spread < _NARROW_IN_CELLS * grids[index].step:
                reach = _ZOOM_SPREADS * max(spread, 0.5 * grids[index].step)
                grids[index] = zoomed_grid(mean - reach, mean + reach, cells)
                narrow = True
        if not narrow:
            break
        posterior = _assemble(levels, grids, families, fineness)
    return posterior
