"""How do groups of trays move our belief about each group, and about a group not yet seen?

One layer above the tray: the log odds of a group's middle tray is normal around
the middle of its kind. The exact grid runs over the spread between groups, the
spread between trays and the middle; given these the groups are independent, and
the sum over a group's own take is one matrix product.

Several kinds may each have a middle of their own and share the two spreads: the
seasons of several combinations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.grid import LevelTrays
from takestats.models.grouped_nodes import (
    FLOOR,
    FamilyWeights,
    GroupedNodes,
    by_kind,
    log_middles,
    log_priors,
    total_spreads,
)
from takestats.models.grouped_scale import LogitGrid
from takestats.models.grouped_tables import GroupTables, logit_grid
from takestats.models.spread import (
    PRIOR_SIGMA,
    Family,
    SpreadNodes,
    refined_nodes,
    standard_nodes,
)

Floats = NDArray[np.float64]

_ENOUGH_NODES = 2.5
_MOST_REFINEMENTS = 6
_NARROW_IN_CELLS = 1.0
_REACH = 10.0
_DEAD = -16.0
_RELEVANT = 1e-5
_MOST_CELLS = 1600


def _family_weights(
    tables: GroupTables, state: GroupedNodes, nodes: SpreadNodes, live: NDArray[np.bool_]
) -> FamilyWeights:
    shape = (nodes.size, state.between.size)
    evidence = np.full(shape, -np.inf)
    middle, width = np.zeros(shape), np.full(shape, np.inf)
    places = state.grid.middles[state.start : state.stop]
    for column, between in enumerate(state.between_values.tolist()):
        rows = np.flatnonzero(live[:, column])
        if not rows.size:
            continue
        values = nodes.values[rows]
        logs, top = log_middles(tables, state, nodes.family, values.tolist(), between)
        summed = by_kind(logs, state.kinds)
        summed += log_priors(state, total_spreads(nodes.family, values, between))[:, None, :]
        highest = summed.max(axis=2, keepdims=True)
        mass = np.exp(summed - highest)
        total = mass.sum(axis=2)
        evidence[rows, column] = (highest[..., 0] + np.log(total)).sum(axis=1) + top.sum(axis=1)
        mean = mass @ places / total
        square = mass @ places**2 / total - mean**2
        middle[rows, column] = mean.mean(axis=1)
        width[rows, column] = np.sqrt(np.maximum(square.min(axis=1), 0.0))
    return FamilyWeights(nodes=nodes, log_evidence=evidence, middle=middle, width=width)


def _live(
    old: FamilyWeights | None,
    state: GroupedNodes,
    nodes: SpreadNodes,
    weight: Floats | None,
    between: SpreadNodes,
) -> NDArray[np.bool_]:
    """Which pairs of spreads are worth working out: all at first, then those around the mass."""
    live = np.ones((nodes.size, between.size), dtype=bool)
    if old is None or weight is None:
        return live
    good = weight > np.exp(_DEAD)
    for values, before, axis in (
        (nodes.values, old.nodes.values, 1),
        (between.values, state.between.values, 0),
    ):
        hit = np.flatnonzero(good.any(axis=axis))
        if not hit.size:
            return np.zeros_like(live)
        low = before[max(0, hit[0] - 1)] if hit[0] else 0.0
        high = before[min(before.size - 1, hit[-1] + 1)] if hit[-1] + 1 < before.size else np.inf
        inside = (values >= low) & (values <= high)
        live &= inside[:, None] if axis == 1 else inside[None, :]
    return live


def _weighed(state: GroupedNodes, families: Sequence[FamilyWeights]) -> GroupedNodes:
    logs = [
        item.log_evidence + item.nodes.log_mass[:, None] + state.between.log_mass
        for item in families
    ]
    total = float(special.logsumexp([special.logsumexp(item) for item in logs]))
    return replace(
        state,
        families=tuple(families),
        weights=tuple(np.exp(item - total) for item in logs),
        log_evidence=total - float(np.log(len(families))),
    )


def _sharp(weights: Floats, log_evidence: Floats) -> list[int]:
    """Index of the node that holds nearly all the weight, unless the end is merely flat."""
    share = weights / max(float(weights.sum()), FLOOR)
    if weights.sum() < 1e-3 or 1.0 / np.sum(share**2) >= _ENOUGH_NODES:
        return []
    best = int(share.argmax())
    neighbour = 1 if best == 0 else best - 1 if best == share.size - 1 else -1
    if neighbour >= 0 and abs(float(log_evidence[best] - log_evidence[neighbour])) < 0.5:
        return []
    return [best]


def _zoomed(state: GroupedNodes) -> GroupedNodes:
    """Halve the cells where the middles are known better than they show; keep those that matter."""
    narrow, low, high = np.inf, np.inf, -np.inf
    for item, weight in zip(state.families, state.weights, strict=True):
        good = weight > _RELEVANT
        if good.any():
            narrow = min(narrow, float(np.average(item.width[good], weights=weight[good])))
            low = min(low, float(item.middle[good].min()))
            high = max(high, float(item.middle[good].max()))
    grid = state.grid
    if narrow >= _NARROW_IN_CELLS * grid.step or 2 * grid.size > _MOST_CELLS:
        return state
    finer = LogitGrid(2 * grid.first, 2 * (grid.size - 1) + 1, grid.step / 2.0)
    if np.unique(state.kinds).size > 1:
        return replace(state, grid=finer, start=0, stop=finer.size)
    reach = _REACH * max(narrow, 1.5 * grid.step)
    start = max(0, int(np.floor((low - reach) / finer.step)) - finer.first)
    stop = min(finer.size, int(np.ceil((high + reach) / finer.step)) - finer.first + 1)
    return replace(state, grid=finer, start=start, stop=stop)


def fit_groups(
    groups: Sequence[LevelTrays],
    *,
    between_scale: float = PRIOR_SIGMA,
    families: Sequence[Family] = ("beta_binomial", "logit_normal"),
    fineness: int = 1,
) -> tuple[GroupedNodes, GroupTables]:
    """Weigh the two spreads by the trays of every group.

    Parameters
    ----------
    groups : sequence of LevelTrays
        ``group`` is the number of the kind whose middle the group varies around:
        from 0 without gaps, in rising order; all 0 when there is one middle.
    between_scale : float
        Of the half-normal prior on the spread between groups.
    families : sequence of str
        ``("binomial",)`` when no trays were recorded.
    fineness : int
        2 doubles the nodes (for checks).

    Returns
    -------
    nodes : GroupedNodes
    tables : GroupTables
    """
    tables = GroupTables(groups)
    grid = logit_grid(groups)
    state = GroupedNodes(
        grid=grid,
        start=0,
        stop=grid.size,
        kinds=np.array([trays.group for trays in groups], dtype=np.int64),
        between=standard_nodes("logit_normal", fineness),
        scale=between_scale / PRIOR_SIGMA,
        families=(),
        weights=(),
        log_evidence=0.0,
    )
    trays = [standard_nodes(family, fineness) for family in families]
    lives = [np.ones((item.size, state.between.size), dtype=bool) for item in trays]
    state = _fitted(tables, state, trays, lives)
    for again in range(_MOST_REFINEMENTS):
        before = state
        state = _zoomed(state)
        reach = 3 if again else 1
        between = before.between
        evidence = _marginal(before, axis=0)
        best = _sharp(sum(w.sum(axis=0) for w in before.weights), evidence)
        if best:
            between = refined_nodes(between, best, reach)
        trays = []
        for item, weight in zip(before.families, before.weights, strict=True):
            own = special.logsumexp(item.log_evidence + before.between.log_mass, axis=1)
            hit = _sharp(weight.sum(axis=1), own) if item.nodes.family != "binomial" else []
            trays.append(refined_nodes(item.nodes, hit, reach) if hit else item.nodes)
        same = all(new is old.nodes for new, old in zip(trays, before.families, strict=True))
        if state is before and between is before.between and same:
            break
        lives = [
            _live(old, before, new, weight, between)
            for new, old, weight in zip(trays, before.families, before.weights, strict=True)
        ]
        state = _fitted(tables, replace(state, between=between), trays, lives)
    return state, tables


def _marginal(state: GroupedNodes, axis: int) -> Floats:
    """Log evidence of each spread between groups, averaged over the spreads between trays."""
    logs = [item.log_evidence + item.nodes.log_mass[:, None] for item in state.families]
    return np.asarray(special.logsumexp(np.concatenate(logs), axis=axis))


def _fitted(
    tables: GroupTables,
    state: GroupedNodes,
    trays: Sequence[SpreadNodes],
    lives: Sequence[NDArray[np.bool_]],
) -> GroupedNodes:
    found = [
        _family_weights(tables, state, nodes, live)
        for nodes, live in zip(trays, lives, strict=True)
    ]
    return _weighed(state, found)
