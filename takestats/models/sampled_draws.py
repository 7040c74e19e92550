"""Which coefficients and spreads does one part of the tray model believe in?

Draws around the peak at each spread vector, from scrambled Sobol points in one
contiguous block per vector, weighted by exact posterior over proposal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import logsumexp

from takestats.models.sampled_density import log_posterior, log_ways
from takestats.models.sampled_families import Family
from takestats.models.sampled_modes import starting_point
from takestats.models.sampled_plan import (
    Plan,
    node_count,
    plan_one_spread,
    plan_own_spreads,
    plan_without_spread,
)
from takestats.models.sampled_proposal import Proposal, matched_proposal, proposal_at_modes
from takestats.models.sampled_spread import place_nodes, scan_common, scan_levels
from takestats.models.sobol_points import sobol_points

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_ENOUGH = 400.0
_SECOND_LOOK = 32_768


@dataclass(frozen=True, eq=False, kw_only=True)
class PartDraws:
    """Weighted draws of one part.

    Parameters
    ----------
    chosen_log_odds : numpy.ndarray
        ``(draws, coefficients)``: in the log odds of the chosen lines.
    spread : numpy.ndarray
        ``(vectors, levels)``: one row per block of draws.
    log_weight : numpy.ndarray
        Log posterior over proposal, per draw.
    log_evidence : float
    ess : float
        Effective sample size.
    """

    chosen_log_odds: FloatArray
    spread: FloatArray
    log_weight: FloatArray
    log_evidence: float
    ess: float


def draw_parts(
    lines: Lines, family: Family, own: IntArray | None, draws: int, seed: int
) -> list[PartDraws]:
    """Draw from a family with one spread and, if ``own`` is given, with own spreads.

    Parameters
    ----------
    lines : Lines
    family : str
    own : numpy.ndarray or None
        For each level of the lines, the spread it has in the second part.
    draws : int
        Draws per part, a power of two.
    seed : int
    """
    start = starting_point(lines)
    if family == "binomial":
        return [_draw_part(lines, None, plan_without_spread(lines, start), draws, seed)]
    common, tables = scan_common(lines, family, start)
    nodes = place_nodes(lines, family, common, node_count(lines))
    parts = [_draw_part(lines, None, plan_one_spread(lines, family, nodes), draws, seed)]
    if own is not None:
        scan = scan_levels(lines, family, own[lines.group], own[lines.cell_group], common, tables)
        del tables
        own_nodes = place_nodes(lines, family, scan, node_count(lines))
        # Spreads of several levels at once leave fewer effective draws.
        wanted = draws if lines.many else 2 * draws
        plan = plan_own_spreads(lines, family, own, own_nodes, wanted, seed)
        parts.append(_draw_part(lines, own, plan, wanted, seed + 1))
    return parts


def _draw_part(lines: Lines, own: IntArray | None, plan: Plan, draws: int, seed: int) -> PartDraws:
    """Draw once; with too few effective draws, more of them, two ways, and keep the better."""
    vectors = plan.vectors.shape[0]
    first = proposal_at_modes(lines, own, plan)
    part = _weigh(lines, own, plan, first, draws // vectors, seed)
    if part.ess >= _ENOUGH:
        return part
    each = part.chosen_log_odds.reshape(vectors, -1, lines.coefficients)
    second = matched_proposal(first, each, part.log_weight)
    many = max(4 * draws, _SECOND_LOOK) // vectors
    again = [_weigh(lines, own, plan, p, many, seed + 500) for p in (first, second)]
    return max(again, key=lambda found: found.ess)


def _weigh(
    lines: Lines, own: IntArray | None, plan: Plan, proposal: Proposal, each: int, seed: int
) -> PartDraws:
    """Draw from the proposal and weigh by exact posterior over proposal."""
    vectors, size = proposal.centre.shape
    total = vectors * each
    points = sobol_points(size + 1, total, np.random.default_rng([seed, 3]))
    points = np.clip(points, 1e-12, 1.0 - 1e-12).reshape(vectors, each, size + 1)
    theta, log_density = proposal.draw(points)
    log_weight = log_posterior(lines, own, plan, theta) + plan.log_ratio[:, None] - log_density
    flat = log_weight.ravel()
    whole = float(logsumexp(flat))
    return PartDraws(
        chosen_log_odds=theta.reshape(total, size),
        spread=plan.spread,
        log_weight=flat,
        log_evidence=whole - float(np.log(total)) + log_ways(lines),
        ess=float(np.exp(2.0 * whole - logsumexp(2.0 * flat))),
    )
