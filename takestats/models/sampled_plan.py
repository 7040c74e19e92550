"""At which spreads are coefficients drawn, and where do they peak there?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import logsumexp

from takestats.models.sampled_families import Family
from takestats.models.sampled_modes import Modes, find_modes, rough_evidence
from takestats.models.sampled_spread import Nodes, rough_icc
from takestats.models.sampled_tables import Tables, make_tables
from takestats.models.sobol_points import sobol_points

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_MANY_PAIRS = 800
_FEW_VECTORS = 64
_KEPT_OPEN = 0.1
_EVEN = 0.7


@dataclass(frozen=True, eq=False, kw_only=True)
class Plan:
    """What the draws of a part stand on.

    Parameters
    ----------
    tables : Tables
    vectors : numpy.ndarray
        ``(vectors, levels)``: indices of spread values in the tables.
    spread : numpy.ndarray
        ``(vectors, levels)``: the values.
    log_ratio : numpy.ndarray
        Per vector, log of prior over proposal density of the spreads.
    modes : Modes
    """

    tables: Tables
    vectors: IntArray
    spread: FloatArray
    log_ratio: FloatArray
    modes: Modes


def node_count(lines: Lines) -> int:
    """Spread values per level: 64, so that the outermost stand at 1/128; fewer with many lines.

    Measured on one-factor trials: 32 leave the outer limits .001 too close.
    """
    return 64 if lines.cell_taken.size <= _MANY_PAIRS else 32


def plan_without_spread(lines: Lines, start: FloatArray) -> Plan:
    """Stand on the one peak of the binomial likelihood."""
    level = np.zeros_like(lines.group)
    cells = np.zeros_like(lines.cell_group)
    vectors = np.zeros((1, 1), dtype=np.intp)
    none = np.zeros((1, 1))
    tables = make_tables(lines, cells, "binomial", none, -30.0, 30.0)
    modes = find_modes(lines, tables, level, vectors, none, start[None, :])
    return Plan(tables=tables, vectors=vectors, spread=none, log_ratio=np.zeros(1), modes=modes)


def plan_one_spread(lines: Lines, family: Family, nodes: Nodes) -> Plan:
    """Stand on the nodes of the spread that all trays share."""
    level = np.zeros_like(lines.group)
    cells = np.zeros_like(lines.cell_group)
    tables = make_tables(lines, cells, family, nodes.spread, nodes.low, nodes.high)
    vectors = np.arange(nodes.spread.shape[1])[:, None]
    spread = nodes.spread[0][vectors]
    modes = find_modes(
        lines, tables, level, vectors, rough_icc(family, spread), nodes.start[0].copy()
    )
    return Plan(
        tables=tables, vectors=vectors, spread=spread, log_ratio=nodes.log_ratio[0], modes=modes
    )


def plan_own_spreads(
    lines: Lines, family: Family, own: IntArray, nodes: Nodes, draws: int, seed: int
) -> Plan:
    """Stand on vectors of spreads, one spread per level.

    Sobol points through each level's own quantiles are candidates; those that
    Laplace's evidence favours are kept, and the choice is undone in ``log_ratio``.
    """
    levels, count = nodes.spread.shape
    level = own[lines.group]
    many = _FEW_VECTORS if lines.many else min(512, draws // 32)
    candidates = int(2 ** np.clip(np.round(np.log2(5e5 / lines.size)), np.log2(many), 11))
    rng = np.random.default_rng([seed, 7])
    points = sobol_points(levels, candidates, rng)
    vectors = np.minimum((points * count).astype(np.intp), count - 1)
    at = np.arange(levels)
    icc = rough_icc(family, nodes.spread)
    start = nodes.centre + (nodes.start[at, vectors] - nodes.centre).sum(axis=1)
    ratio = nodes.log_ratio[at, vectors].sum(axis=1)
    tables = make_tables(lines, own[lines.cell_group], family, nodes.spread, nodes.low, nodes.high)
    if candidates > many:
        worth = ratio + rough_evidence(lines, tables, level, vectors, icc[at, vectors], start)
        chosen, correction = _favoured(vectors / count, worth, many, rng)
        vectors, start = vectors[chosen], start[chosen]
        ratio = ratio[chosen] + correction
    modes = find_modes(lines, tables, level, vectors, icc[at, vectors], start)
    return Plan(
        tables=tables,
        vectors=vectors,
        spread=nodes.spread[at, vectors],
        log_ratio=ratio,
        modes=modes,
    )


def _favoured(
    places: FloatArray, worth: FloatArray, many: int, rng: np.random.Generator
) -> tuple[IntArray, FloatArray]:
    """Which candidates to keep, and the log weight that undoes the choice.

    While the first Sobol points are about equally worth keeping, they are: they
    lie more evenly than any choice among them. Otherwise candidates are drawn by
    their worth, one per stratum of a walk from box to box, in random order within
    a box: a walk along the points' own lattice meets the same values again and
    again.
    """
    candidates, levels = places.shape
    first = np.exp(worth[:many] - logsumexp(worth[:many]))
    if 1.0 / np.sum(first**2) >= _EVEN * many:
        return np.arange(many), np.zeros(many)
    share = np.exp(worth - logsumexp(worth))
    share = (1.0 - _KEPT_OPEN) * share + _KEPT_OPEN / candidates
    boxes = max(2, round((many / 4.0) ** (1.0 / levels)))
    order = np.lexsort([rng.random(candidates), *np.floor(places * boxes).T])
    steps = (np.arange(many) + rng.random(many)) / many
    cumulative = np.cumsum(share[order])
    chosen = order[np.searchsorted(cumulative, steps * cumulative[-1])]
    return chosen, -np.log(candidates * share[chosen])
