"""Which coefficients and spreads does one part of a model of two layers believe in?

Peaks on a lattice of spreads, nodes placed by Laplace's evidence, draws around the
peak at each node from scrambled Sobol points, weighted by exact posterior over
proposal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import logsumexp

from takestats.models.block_points import MANY_AXES, block_points
from takestats.models.layered_curves import CurveModel, CurveStand
from takestats.models.layered_nodes import SpreadNodes, closer, density, place_nodes
from takestats.models.layered_quantiles import QuantileModel, QuantileStand
from takestats.models.sampled_modes import ROUNDS
from takestats.models.sampled_proposal import (
    Proposal,
    matched_proposal,
    shared_split_proposal,
    split_proposal,
)
from takestats.models.sobol_points import sobol_points

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_rows import LayeredRows
    from takestats.models.sampled_modes import Modes

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

ENOUGH = 400.0
_SCANNED = 8
_SCANNED_ALONE = 10
_FEW_ROWS = 20
_SCANNED_MANY = 5
_STEPS_MANY = (5, 2, 2, 2)
_NODES_MANY = (8, 4)
_REACH = 7.0
_EDGE = 30.0
_MOST_DRAWS = 65_536


@dataclass(frozen=True, eq=False, kw_only=True)
class LayeredDraws:
    """Weighted draws of one part.

    Parameters
    ----------
    chosen_log_odds : numpy.ndarray
        ``(draws, coefficients)``: in the log odds of the chosen lines.
    outer, inner : numpy.ndarray
        ``(blocks,)``: the spreads; every block of draws shares one pair.
    log_weight : numpy.ndarray
        Log posterior over proposal, per draw.
    log_evidence : float
        Binomial coefficients left out.
    ess : float
        Effective sample size.
    """

    chosen_log_odds: FloatArray
    outer: FloatArray
    inner: FloatArray
    log_weight: FloatArray
    log_evidence: float
    ess: float


@dataclass(frozen=True, eq=False, kw_only=True)
class PartStand:
    """Where a part would be drawn from, and how likely it is before it is drawn.

    Parameters
    ----------
    stand : CurveStand or QuantileStand
    nodes : SpreadNodes
    log_evidence : float
        By Laplace's approximation.
    """

    stand: CurveStand | QuantileStand
    nodes: SpreadNodes
    log_evidence: float

    @classmethod
    def of(cls, stand: CurveStand | QuantileStand, nodes: SpreadNodes) -> PartStand:
        """With the evidence of its nodes taken together."""
        evidence = logsumexp(stand.modes.log_evidence + nodes.log_ratio)
        return cls(
            stand=stand,
            nodes=nodes,
            log_evidence=float(evidence - np.log(nodes.outer_q.size)),
        )


def stand_of(model: CurveModel | QuantileModel) -> PartStand:
    """Peaks and nodes of one part.

    Parameters
    ----------
    model : CurveModel or QuantileModel
    """
    if isinstance(model, CurveModel) and model.rows.many:
        return _stand_of_many(model)
    q, modes = _scan(model)
    shape = (q[0].size, q[1].size)
    mass = density(model.axes, q, modes.log_evidence.reshape(shape))
    counts = _node_counts(model)
    nodes = place_nodes(model.axes, mass, *counts)
    near = [np.abs(at[:, None] - q[i]).argmin(axis=1) for i, at in enumerate(_at(nodes))]
    start = modes.at[near[0] * shape[1] + near[1]]
    return PartStand.of(_stand_for_draws(model, nodes, start, modes), nodes)


def draw_from(part: PartStand, draws: int, seed: int, *, slight: bool = False) -> LayeredDraws:
    """Draw from one part.

    With many rows, how far the draws reach either side of an axis is measured at the best
    node alone.

    Parameters
    ----------
    part : PartStand
    draws : int
        A power of two, at least as many as there are nodes.
    seed : int
    slight : bool
        Whether the other part is so much likelier that few effective draws are enough here.
    """
    stand, nodes = part.stand, part.nodes
    rows = stand.model.rows
    if isinstance(stand, CurveStand) and rows.many:
        best = int(stand.modes.log_evidence.argmax())
        first = shared_split_proposal(
            rows.patterns, stand.modes, best, lambda theta: stand.log_posterior(theta, best)
        )
        many = 2 * draws
    else:
        first = split_proposal(rows.patterns, stand.modes, stand.log_posterior)
        many = 2 * draws if slight else min(max(4 * draws, 32_768), _MOST_DRAWS)
    enough = min(ENOUGH, draws / 4.0)
    return _drawn(stand, nodes, first, seed, draws=draws, enough=enough, again=many)


def _stand_of_many(model: CurveModel) -> PartStand:
    """Many rows: peaks near normal and spreads well known, so fewer looks find them.

    Every lattice is looked at from one peak, a few steps far.
    """
    q = (model.axes[0].scan(_SCANNED_MANY), model.axes[1].scan(_SCANNED_MANY))
    middle = (q[0][1:2], q[1][1:2])
    peak = _stand(model, middle, starting_point(model.rows)[None]).at[0]
    for steps in _STEPS_MANY:
        start = np.repeat(peak[None], q[0].size * q[1].size, axis=0)
        modes = _stand(model, q, start, steps)
        mass = density(model.axes, q, modes.log_evidence.reshape(q[0].size, q[1].size))
        peak = modes.at[modes.log_evidence.argmax()]
        better = closer(model.axes, q, mass, least=1.0)
        if better is None:
            break
        q = better
    nodes = place_nodes(model.axes, mass, *_NODES_MANY)
    start = np.repeat(peak[None], nodes.outer_q.size, axis=0)
    stand = model.stand(nodes.outer_q**2, nodes.inner_values, nodes.inner, start)
    return PartStand.of(stand, nodes)


def _drawn(
    stand: CurveStand | QuantileStand,
    nodes: SpreadNodes,
    first: Proposal,
    seed: int,
    *,
    draws: int,
    enough: float,
    again: int,
) -> LayeredDraws:
    """Draw once; with too few effective draws, more of them, two ways, and keep the better."""
    found = _weigh(stand, nodes, first, draws, seed)
    if found.ess >= enough:
        return found
    each = found.chosen_log_odds.reshape(nodes.outer_q.size, -1, first.centre.shape[1])
    second = matched_proposal(first, each, found.log_weight)
    tried = [_weigh(stand, nodes, p, again, seed + 500) for p in (first, second)]
    return max(tried, key=lambda part: part.ess)


def _node_counts(model: CurveModel | QuantileModel) -> tuple[int, int]:
    """Inner spreads, and outer ones given each: more where rows are few and the limits wide."""
    few = model.rows.rows <= _FEW_ROWS
    if model.axes[0].none:
        return (64, 1) if few else (32, 1)
    return (32, 8) if few else (16, 4)


def _at(nodes: SpreadNodes) -> tuple[FloatArray, FloatArray]:
    return nodes.outer_q, nodes.inner_q


def _scan(model: CurveModel | QuantileModel) -> tuple[tuple[FloatArray, FloatArray], Modes]:
    """Peaks on a lattice of spreads; once more, closer together, where the data know them well."""
    alone = any(axis.none for axis in model.axes)
    count = _SCANNED_ALONE if alone else _SCANNED
    q = (model.axes[0].scan(count), model.axes[1].scan(count))
    start = np.repeat(starting_point(model.rows)[None, :], q[0].size * q[1].size, axis=0)
    modes = _stand(model, q, start)
    better = closer(
        model.axes, q, density(model.axes, q, modes.log_evidence.reshape(q[0].size, q[1].size))
    )
    if better is None:
        return q, modes
    near = [np.abs(better[i][:, None] - q[i]).argmin(axis=1) for i in (0, 1)]
    start = modes.at[(near[0][:, None] * q[1].size + near[1]).ravel()]
    return better, _stand(model, better, start)


def _stand(
    model: CurveModel | QuantileModel,
    q: tuple[FloatArray, FloatArray],
    start: FloatArray,
    rounds: int = ROUNDS,
) -> Modes:
    outer = np.repeat(q[0] ** 2, q[1].size)
    inner = np.tile(np.arange(q[1].size), q[0].size)
    if isinstance(model, CurveModel):
        return model.stand(outer, q[1] ** 2, inner, start, rounds).modes
    return model.stand(outer, q[1] ** 2, inner, start).modes


def _stand_for_draws(
    model: CurveModel | QuantileModel, nodes: SpreadNodes, start: FloatArray, scanned: Modes
) -> CurveStand | QuantileStand:
    outer = nodes.outer_q**2
    if isinstance(model, CurveModel):
        return model.stand(outer, nodes.inner_values, nodes.inner, start)
    alive = scanned.log_evidence > scanned.log_evidence.max() - 12.0
    basis = model.rows.patterns
    eta = scanned.at[alive] @ basis.T
    inverse = np.linalg.inv(scanned.scoring[alive])
    sd = np.sqrt(np.einsum("ip,jpq,iq->ji", basis, inverse, basis))
    low = max(float((eta - _REACH * sd).min()), -_EDGE)
    high = min(float((eta + _REACH * sd).max()), _EDGE)
    return model.stand(outer, nodes.inner_values, nodes.inner, start, (low, high))


def starting_point(rows: LayeredRows) -> FloatArray:
    """Least squares on the empirical log odds of each pattern: where the climb begins."""
    taken, failed = rows.taken_by_unit.sum(axis=1), rows.failed_by_unit.sum(axis=1)
    odds = np.log(taken + 0.5) - np.log(failed + 0.5)
    root = np.sqrt(rows.pattern_tried / (1.0 + 0.05 * rows.pattern_tried))
    result: FloatArray = np.linalg.lstsq(rows.patterns * root[:, None], odds * root, rcond=None)[0]
    return result


def _weigh(
    stand: CurveStand | QuantileStand,
    nodes: SpreadNodes,
    proposal: Proposal,
    draws: int,
    seed: int,
) -> LayeredDraws:
    vectors, size = proposal.centre.shape
    each = draws // vectors
    total = vectors * each
    points = _points(vectors, each, size + 1, np.random.default_rng([seed, 3]))
    theta, log_density = proposal.draw(points)
    log_weight = stand.log_posterior(theta) + nodes.log_ratio[:, None] - log_density
    flat = log_weight.ravel()
    whole = float(logsumexp(flat))
    return LayeredDraws(
        chosen_log_odds=theta.reshape(total, size),
        outer=nodes.outer_q**2,
        inner=nodes.inner_q**2,
        log_weight=flat,
        log_evidence=whole - float(np.log(total)),
        ess=float(np.exp(2.0 * whole - logsumexp(2.0 * flat))),
    )


def _points(blocks: int, each: int, axes: int, rng: np.random.Generator) -> FloatArray:
    """Uniform points, one contiguous block a node: Sobol's along few axes."""
    if axes >= MANY_AXES:
        points = block_points(blocks, each, axes, rng)
    else:
        points = sobol_points(axes, blocks * each, rng).reshape(blocks, each, axes)
    result: FloatArray = np.clip(points, 1e-12, 1.0 - 1e-12)
    return result
