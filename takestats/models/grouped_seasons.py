"""What will a new season bring, for a combination on record and for one not yet tried?

A season of a combination is a group of trays; each combination has a middle of
its own. Where enough combinations were made in several seasons they share what
they say of the spread between seasons.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.grid import LevelTrays, level_trays
from takestats.models.grid_pairs import Distribution
from takestats.models.grouped import fit_groups
from takestats.models.grouped_nodes import FLOOR
from takestats.models.grouped_posterior import (
    GroupedPosterior,
    Part,
)
from takestats.models.grouped_scale import averaged_logits, layer, prior_masses
from takestats.models.grouped_takes import distribution_of, tray_distribution
from takestats.models.spread import Family, standard_nodes

Floats = NDArray[np.float64]

OWN_SCALE, POOLED_SCALE = 0.5, 1.0
#: This many combinations with two seasons or more share their spread between seasons.
ENOUGH_TO_POOL = 4
_RELEVANT = 1e-4


@dataclass(frozen=True, eq=False, kw_only=True)
class SeasonFit:
    """The seasons of one combination, or of several that share their spreads.

    Parameters
    ----------
    posterior : GroupedPosterior
        One kind per combination, one group per season of it.
    seasons : tuple of tuple of int
        Of each combination, rising; groups are in this order.
    pooled : bool
    scale : float
        Of the half-normal prior on the spread between seasons.
    """

    posterior: GroupedPosterior
    seasons: tuple[tuple[int, ...], ...]
    pooled: bool
    scale: float

    def new_season(self, kind: int) -> Distribution:
        """Take of a combination in a season not yet seen, averaged over trays."""
        return self.posterior.new_group(kind)

    def new_tray(self, kind: int) -> Distribution:
        """Take of a new tray of a combination in its newest season on record."""
        group = sum(len(seasons) for seasons in self.seasons[: kind + 1]) - 1
        return self.posterior.new_tray(group)


def _season_groups(
    taken: Floats, tried: Floats, season: NDArray[np.int64], kind: int, *, no_trays: bool
) -> tuple[list[LevelTrays], tuple[int, ...]]:
    known = tuple(int(x) for x in np.unique(season))
    groups = []
    for which in known:
        k, n = taken[season == which], tried[season == which]
        if no_trays:
            k, n = k.sum(keepdims=True), n.sum(keepdims=True)
        groups.append(level_trays(k, n, kind))
    return groups, known


def _fit(
    taken: Floats,
    tried: Floats,
    kind: NDArray[np.int64],
    season: NDArray[np.int64],
    *,
    pooled: bool,
    no_trays: bool,
    own_scale: float = OWN_SCALE,
) -> SeasonFit:
    groups: list[LevelTrays] = []
    seasons = []
    for index in range(int(kind.max()) + 1):
        mine = kind == index
        some, known = _season_groups(
            taken[mine], tried[mine], season[mine], index, no_trays=no_trays
        )
        groups.extend(some)
        seasons.append(known)
    families: tuple[Family, ...] = ("binomial",) if no_trays else ("beta_binomial", "logit_normal")
    scale = POOLED_SCALE if pooled else own_scale
    posterior = GroupedPosterior(*fit_groups(groups, between_scale=scale, families=families))
    return SeasonFit(posterior=posterior, seasons=tuple(seasons), pooled=pooled, scale=scale)


def can_pool(kind: NDArray[np.int64], season: NDArray[np.int64]) -> bool:
    """Whether enough combinations have two seasons or more."""
    pairs = np.unique(np.column_stack([kind, season]), axis=0)
    return int(np.sum(np.bincount(pairs[:, 0]) >= 2)) >= ENOUGH_TO_POOL


def fit_seasons(
    taken: Floats,
    tried: Floats,
    kind: NDArray[np.int64],
    season: NDArray[np.int64],
    *,
    no_trays: bool = False,
    own_scales: Sequence[float] | None = None,
) -> list[tuple[SeasonFit, int]]:
    """Fit the seasons of every combination, together where that can be done.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
        One line per tray.
    kind, season : ndarray of int, shape (lines,)
        The combination from 0 without gaps, and the season.
    no_trays : bool
    own_scales : sequence of float, optional
        Of the prior on the spread between seasons, where each combination stands by itself;
        .5 when not given.

    Returns
    -------
    list of (SeasonFit, int), one per combination
        The fit and the combination's number in it.

    Notes
    -----
    Four combinations or more with two seasons or more: one fit, the spread
    between seasons half-normal with scale 1, each combination its own middle
    with a flat prior on its take. Else each by itself, with scale .5.
    """
    if can_pool(kind, season):
        fit = _fit(taken, tried, kind, season, pooled=True, no_trays=no_trays)
        return [(fit, index) for index in range(int(kind.max()) + 1)]
    alone = []
    for index in range(int(kind.max()) + 1):
        mine = kind == index
        none = np.zeros(int(mine.sum()), dtype=np.int64)
        fit = _fit(
            taken[mine],
            tried[mine],
            none,
            season[mine],
            pooled=False,
            no_trays=no_trays,
            own_scale=OWN_SCALE if own_scales is None else own_scales[index],
        )
        alone.append((fit, 0))
    return alone


@dataclass(frozen=True, eq=False, kw_only=True)
class NewKind:
    """A combination not yet tried, in a season not yet seen.

    Parameters
    ----------
    take, tray : Distribution
        Averaged over trays, and of a single tray.
    """

    take: Distribution
    tray: Distribution


def fit_new_kind(
    taken: Floats,
    tried: Floats,
    kind: NDArray[np.int64],
    season: NDArray[np.int64],
    *,
    no_trays: bool = False,
) -> NewKind:
    """Draw the next combination from the same normal layer as those on record.

    Parameters
    ----------
    taken, tried, kind, season, no_trays
        As for :func:`fit_seasons`.

    Notes
    -----
    Three layers: trays in seasons in combinations. The middles of combinations
    are normal around the middle of all, spread half-normal with scale 1.5.
    """
    pooled = can_pool(kind, season)
    fit = _fit(taken, tried, kind, season, pooled=pooled, no_trays=no_trays)
    spreads, masses = _next_kind(fit.posterior)
    logits = averaged_logits(
        fit.posterior.grid, np.array([s if f == "logit_normal" else 0.0 for f, s in spreads])
    )
    return NewKind(
        take=distribution_of(logits, masses),
        tray=tray_distribution(fit.posterior.grid, spreads, masses),
    )


def _next_kind(posterior: GroupedPosterior) -> tuple[list[tuple[Family, float]], Floats]:
    grid, nodes = posterior.grid, posterior.nodes
    kappas = standard_nodes("logit_normal")
    inside = [
        np.ascontiguousarray(layer(grid, kappa, 0, grid.size)[nodes.start : nodes.stop])
        for kappa in kappas.values.tolist()
    ]
    weighed: list[tuple[Part, int, int, Floats]] = []
    logs: list[float] = []
    for part in posterior.parts():
        middles, top = posterior.log_kinds(part)
        highest = middles.max(axis=2, keepdims=True)
        value = np.exp(middles - highest).reshape(-1, middles.shape[2])
        for column, kappa in enumerate(kappas.values.tolist()):
            within = part.spreads if part.family == "logit_normal" else 0.0 * part.spreads
            total = np.sqrt(within**2 + part.between**2 + kappa**2)
            prior = prior_masses(grid, total)
            kinds = np.log(np.maximum(value @ inside[column], FLOOR))
            summed = kinds.reshape(*middles.shape[:2], grid.size).sum(axis=1)
            mass = np.exp(summed - summed.max(axis=1, keepdims=True)) * prior
            evidence = (
                np.log(mass.sum(axis=1))
                + summed.max(axis=1)
                + highest.sum(axis=(1, 2))
                + top
                + part.log_mass
                + kappas.log_mass[column]
            )
            for row in range(part.spreads.size):
                weighed.append((part, row, column, mass[row] / mass[row].sum()))
                logs.append(float(evidence[row]))
    weights = special.softmax(np.array(logs))
    held: dict[tuple[Family, float], Floats] = {}
    for (part, row, column, mass), weight in zip(weighed, weights.tolist(), strict=True):
        if weight < _RELEVANT:
            continue
        spread = float(np.hypot(part.between, kappas.values[column]))
        key = (part.family, float(part.spreads[row]))
        slot = held.setdefault(key, np.zeros(grid.size))
        slot += weight * (layer(grid, spread, 0, grid.size) @ mass)
    masses = np.array(list(held.values()))
    return list(held), masses / masses.sum()
