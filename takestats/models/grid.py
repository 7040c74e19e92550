"""How do the trays of each level move our belief about its take? The exact grid.

Four parts are averaged: beta-binomial and logit-normal trays, each with one
spread for all trays and with an own spread for each level of the first factor.
Given the spread the levels are independent, so every sum is exact: no draws,
no search for a mode.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from takestats.models.grid_posterior import FamilyFit, GridPosterior, level_density
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
from takestats.models.spread import (
    Family,
    SpreadNodes,
    own_spread_log_odds,
    refined_nodes,
    standard_nodes,
)

Floats = NDArray[np.float64]

_ENOUGH_NODES = 2.5
_MOST_REFINEMENTS = 5
_NARROW_IN_CELLS = 1.5
_ZOOM_SPREADS = 8.0
_VISIBLE = 1e-4
_LARGEST_HISTOGRAM = 1_000_000


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
    wide = float(tried.max(initial=0.0)) + 1.0
    codes = taken * wide + tried
    whole = bool(((taken % 1 == 0) & (tried % 1 == 0) & (taken >= 0) & (tried >= 0)).all())
    if whole and codes.max(initial=0.0) < _LARGEST_HISTOGRAM:
        times = np.bincount(codes.astype(np.int64))
        found = np.flatnonzero(times)
        return LevelTrays(
            taken=(found // int(wide)).astype(float),
            tried=(found % int(wide)).astype(float),
            times=times[found].astype(float),
            group=group,
        )
    pairs = np.column_stack([taken, tried])
    distinct, times = np.unique(pairs, axis=0, return_counts=True)
    return LevelTrays(
        taken=distinct[:, 0], tried=distinct[:, 1], times=times.astype(float), group=group
    )


def _weights(log_values: Floats) -> tuple[Floats, float]:
    top = float(log_values.max())
    value = np.exp(log_values - top)
    total = float(value.sum())
    return value / total, top + float(np.log(total))


class _Worked:
    """Log likelihoods that were worked out already, so that refining pays for new nodes only."""

    def __init__(self) -> None:
        self._rows: dict[tuple[int, PhiGrid, str, float], Floats] = {}

    def logs(self, level: int, trays: LevelTrays, nodes: SpreadNodes, grid: PhiGrid) -> Floats:
        """Log likelihood of a level's trays, shape (nodes, cells)."""
        keys = [(level, grid, nodes.family, value) for value in nodes.values.tolist()]
        new = [i for i, key in enumerate(keys) if key not in self._rows]
        if new:
            some = replace(nodes, values=nodes.values[new])
            found = log_likelihood(trays.taken, trays.tried, trays.times, some, grid)
            self._rows.update((keys[i], row) for i, row in zip(new, found, strict=True))
        return np.array([self._rows[key] for key in keys])


def _level_density(logs: Floats, grid: PhiGrid) -> tuple[Floats, Floats]:
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
    known: _Worked,
) -> FamilyFit:
    worked = [
        _level_density(known.logs(index, trays, nodes, grid), grid)
        for index, (trays, grid) in enumerate(zip(levels, grids, strict=True))
    ]
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
    nodes: SpreadNodes,
    groups: int,
    known: _Worked,
    *,
    refine: bool,
) -> FamilyFit:
    """Fit one family, with more spread nodes wherever the records outrun these."""
    fit = _family_fit(levels, grids, nodes, groups, known)
    if nodes.family == "binomial" or not refine:
        return fit
    for again in range(_MOST_REFINEMENTS):
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
        fit = _family_fit(
            levels, grids, refined_nodes(fit.nodes, sharp, 3 if again else 1), groups, known
        )
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


def _assemble(
    levels: Sequence[LevelTrays],
    grids: Sequence[PhiGrid],
    nodes: Sequence[SpreadNodes],
    known: _Worked,
    *,
    refine: bool,
) -> GridPosterior:
    groups = np.array([trays.group for trays in levels])
    number = int(groups.max()) + 1
    fits = tuple(_settled(levels, grids, start, number, known, refine=refine) for start in nodes)
    odds = -np.inf
    if number > 1:
        odds = own_spread_log_odds(float(sum(trays.trays for trays in levels)), number)
    logs = np.array([[fit.log_common, fit.log_own + odds] for fit in fits])
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
    known = _Worked()
    nodes = [standard_nodes(family, fineness) for family in families]
    posterior = _assemble(levels, [grid] * len(levels), nodes, known, refine=False)
    if grid.low == USUAL_LOW and any(
        level_density(posterior, i)[0] > _VISIBLE * level_density(posterior, i).max()
        for i in range(len(levels))
    ):
        grid = whole_grid(cells)
        posterior = _assemble(levels, [grid] * len(levels), nodes, known, refine=False)
    for refine in (False, True):
        posterior = _zoomed(levels, posterior, known, cells, refine=refine)
    return posterior


def _zoomed(
    levels: Sequence[LevelTrays],
    posterior: GridPosterior,
    known: _Worked,
    cells: int,
    *,
    refine: bool,
) -> GridPosterior:
    """Refine the spread nodes, and zoom in on takes that are known better than the grid shows."""
    if refine:
        nodes = [fit.nodes for fit in posterior.families]
        posterior = _assemble(levels, posterior.grids, nodes, known, refine=True)
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
        nodes = [fit.nodes for fit in posterior.families]
        posterior = _assemble(levels, grids, nodes, known, refine=refine)
    return posterior
