"""What do we hold of each group, of a new group and of a new tray, once the trays were seen?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.averaged_take import correlation_of_sigma
from takestats.models.grid_pairs import Distribution
from takestats.models.grouped_nodes import (
    GroupedNodes,
    by_kind,
    log_middles,
    log_priors,
    total_spreads,
)
from takestats.models.grouped_scale import LogitGrid, averaged_logits, layer
from takestats.models.grouped_tables import GroupTables
from takestats.models.grouped_takes import (
    distribution_of,
    spread_distribution,
    tray_distribution,
)
from takestats.models.spread import Family

Floats = NDArray[np.float64]

_RELEVANT = 1e-5
_FINE = 801
_WIDEST_SIGMA = 8.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Slice:
    """All that one spread between trays holds, summed over the spreads between groups.

    Parameters
    ----------
    family : str
    spread : float
    groups : ndarray of shape (groups, cells)
        Mass of each group's middle tray; sums to 1 over all slices.
    new : ndarray of shape (kinds, cells)
        Mass of the middle tray of a new group of each kind.
    pulled : ndarray of shape (groups,)
        Share of a move of the middle that the group follows, times the weight.
    """

    family: Family
    spread: float
    groups: Floats
    new: Floats
    pulled: Floats


@dataclass(frozen=True, eq=False, kw_only=True)
class Part:
    """Some spreads between trays at one spread between groups.

    Parameters
    ----------
    family : str
    spreads : ndarray of shape (spreads,)
    between : float
    weights, log_mass : ndarray of shape (spreads,)
        Posterior weights, and log prior masses.
    """

    family: Family
    spreads: Floats
    between: float
    weights: Floats
    log_mass: Floats


@dataclass(frozen=True, eq=False, kw_only=True)
class MiddlePart:
    """Where the middles lie for one pair of spreads.

    Parameters
    ----------
    total_spread : float
        Over groups and trays, on the logit scale.
    correlation : float
        What a beta-binomial tray adds to it; else 0.
    weight : float
    mass : ndarray of shape (kinds, middles)
        Sums to 1 over the middles.
    """

    total_spread: float
    correlation: float
    weight: float
    mass: Floats


class GroupedPosterior:
    """Groups of trays around one middle, or around several.

    Parameters
    ----------
    nodes : GroupedNodes
    tables : GroupTables
    """

    def __init__(self, nodes: GroupedNodes, tables: GroupTables) -> None:
        self.nodes = nodes
        self._tables = tables

    @property
    def grid(self) -> LogitGrid:
        """The log-odds grid."""
        return self.nodes.grid

    def parts(self) -> list[Part]:
        """Pairs of spreads that matter, by family and spread between groups."""
        found = []
        kept = sum(float(w[w > _RELEVANT].sum()) for w in self.nodes.weights)
        for item, weight in zip(self.nodes.families, self.nodes.weights, strict=True):
            for column, between in enumerate(self.nodes.between_values.tolist()):
                rows = np.flatnonzero(weight[:, column] > _RELEVANT)
                if rows.size:
                    found.append(
                        Part(
                            family=item.nodes.family,
                            spreads=item.nodes.values[rows],
                            between=between,
                            weights=weight[rows, column] / kept,
                            log_mass=item.nodes.log_mass[rows]
                            + self.nodes.between.log_mass[column],
                        )
                    )
        return found

    def log_kinds(self, part: Part) -> tuple[Floats, Floats]:
        """Log likelihood of each kind's groups for every middle, and what is to be added.

        Returns
        -------
        logs : ndarray of shape (spreads, kinds, middles)
        log_top : ndarray of shape (spreads,)
        """
        logs, top = log_middles(
            self._tables, self.nodes, part.family, part.spreads.tolist(), part.between
        )
        return by_kind(logs, self.nodes.kinds), top.sum(axis=1)

    @cached_property
    def _detail(self) -> tuple[list[Slice], list[MiddlePart]]:
        nodes, kinds = self.nodes, self.nodes.kinds
        number = int(kinds[-1]) + 1
        held: dict[tuple[Family, float], tuple[Floats, Floats, Floats]] = {}
        middles: list[MiddlePart] = []
        for part in self.parts():
            family, spreads, between, weights = (
                part.family,
                part.spreads,
                part.between,
                part.weights,
            )
            logs, _ = log_middles(self._tables, nodes, family, spreads.tolist(), between)
            total = total_spreads(family, spreads, between)
            log_post = by_kind(logs, kinds) + log_priors(nodes, total)[:, None, :]
            post = np.exp(log_post - log_post.max(axis=2, keepdims=True))
            post /= post.sum(axis=2, keepdims=True)
            matrix = layer(nodes.grid, between, nodes.start, nodes.stop)
            others = log_post[:, kinds] - logs
            others = np.exp(others - others.max(axis=2, keepdims=True))
            new = np.einsum("rku,cu->rkc", post, matrix, optimize=True)
            bend = np.zeros_like(logs)
            bend[..., 1:-1] = (logs[..., 2:] - 2.0 * logs[..., 1:-1] + logs[..., :-2]) / (
                nodes.grid.step**2
            )
            follows = np.clip(1.0 + between**2 * bend, 0.0, 1.0)
            pulled = np.einsum("rgu,rgu->rg", follows, post[:, kinds])
            behind = (others.reshape(-1, others.shape[2]) @ matrix.T).reshape(*logs.shape[:2], -1)
            for row, spread in enumerate(spreads.tolist()):
                mass = self._tables.table(nodes.grid, family, spread).value * behind[row]
                mass *= weights[row] / mass.sum(axis=1, keepdims=True)
                empty = (
                    np.zeros((kinds.size, nodes.grid.size)),
                    np.zeros((number, nodes.grid.size)),
                    np.zeros(kinds.size),
                )
                slot = held.setdefault((family, spread), empty)
                for kept, more in zip(
                    slot, (mass, new[row] * weights[row], pulled[row] * weights[row]), strict=True
                ):
                    kept += more
                middles.append(
                    MiddlePart(
                        total_spread=float(total[row]),
                        correlation=spread if family == "beta_binomial" else 0.0,
                        weight=float(weights[row]),
                        mass=post[row],
                    )
                )
        slices = [
            Slice(family=family, spread=spread, groups=item[0], new=item[1], pulled=item[2])
            for (family, spread), item in held.items()
        ]
        return slices, middles

    @property
    def slices(self) -> list[Slice]:
        """By spread between trays."""
        return self._detail[0]

    @property
    def middles(self) -> list[MiddlePart]:
        """By pair of spreads."""
        return self._detail[1]

    @cached_property
    def _averaged(self) -> Floats:
        """Logit of the take averaged over trays at the cells' edges, one row per slice."""
        spreads = [s.spread if s.family == "logit_normal" else 0.0 for s in self.slices]
        return averaged_logits(self.grid, np.array(spreads))

    def group_take(self, group: int) -> Distribution:
        """Take of a group, averaged over its trays."""
        masses = np.array([item.groups[group] for item in self.slices])
        return distribution_of(self._averaged, masses)

    def new_group(self, kind: int = 0) -> Distribution:
        """Take of a group not yet seen, averaged over its trays."""
        return distribution_of(self._averaged, np.array([item.new[kind] for item in self.slices]))

    def new_tray(self, group: int | None, kind: int = 0) -> Distribution:
        """Take of a tray not yet seen: of a group, or of a group not yet seen either."""
        masses = [s.new[kind] if group is None else s.groups[group] for s in self.slices]
        return tray_distribution(
            self.grid, [(s.family, s.spread) for s in self.slices], np.array(masses)
        )

    def shrunk_by(self, group: int) -> float:
        """Share of a move of the middle that the group's take would follow, 0 to 1."""
        return float(sum(item.pulled[group] for item in self.slices))

    def mean_take(self, kind: int = 0) -> Distribution:
        """Take averaged over groups and trays."""
        nodes = self.nodes
        parts = self.middles
        logits = averaged_logits(nodes.grid, np.array([part.total_spread for part in parts]))
        masses = np.array([part.weight * part.mass[kind] for part in parts])
        return distribution_of(logits[:, nodes.start : nodes.stop + 1], masses)

    def between(self) -> Distribution:
        """Spread between groups: a standard deviation on the log-odds scale."""
        nodes = self.nodes
        logs = [item.log_evidence + item.nodes.log_mass[:, None] for item in nodes.families]
        evidence = special.logsumexp(np.concatenate(logs), axis=0)
        return spread_distribution(nodes.between, nodes.scale, np.asarray(evidence))

    def correlation(self) -> Distribution | None:
        """Intra-tray correlation within a group; None where no trays were recorded."""
        points = np.linspace(0.0, 1.0, _FINE) ** 2
        below = np.zeros(_FINE)
        logit = np.array(self.mean_take().quantiles((0.5,)))
        theta = special.logit(np.clip(logit, 1e-6, 1.0 - 1e-6))
        for item, weight in zip(self.nodes.families, self.nodes.weights, strict=True):
            if item.nodes.family == "binomial":
                return None
            logs = item.log_evidence + self.nodes.between.log_mass
            found = spread_distribution(
                item.nodes, 1.0, np.asarray(special.logsumexp(logs, axis=1))
            )
            at = found.points
            if item.nodes.family == "logit_normal":
                sigma = np.clip(at, 1e-6, _WIDEST_SIGMA)
                middle = theta * np.sqrt(1.0 + 0.346 * sigma**2)
                at = correlation_of_sigma(middle, sigma)
            below += float(weight.sum()) * np.interp(points, at, found.below)
        return Distribution(points=points, below=below / below[-1])
