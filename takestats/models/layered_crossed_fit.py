"""What do the trays say about the take where two groupings cross? Approximate.

Two named groupings, or blocks and grafters: weighted draws of the logit-normal model,
the groups' effects by Laplace's approximation at every draw.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit, gammaln, logsumexp, ndtri

from takestats.errors import DesignError
from takestats.models.layered_crossed import CrossedModel, CrossedStand
from takestats.models.layered_crossed_nodes import stand_on_nodes
from takestats.models.layered_draws import ENOUGH
from takestats.models.layered_information import CELLS, GRID, place
from takestats.models.layered_rows import layered_rows
from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import averaged_logit, cubic_cells
from takestats.models.sampled_part import SampledPart
from takestats.models.sampled_posterior import SampledPosterior
from takestats.models.sampled_proposal import Proposal, matched_proposal, split_proposal
from takestats.models.sobol_points import sobol_points
from takestats.models.spread import PRIOR_SIGMA
from takestats.models.weighted import even_places
from takestats.wording.numbers import whole

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_DRAWS = 16_384
_EFFECT_DRAWS = 4_096
APPROXIMATE = "the limits are approximate: effects of crossed groups by a normal approximation"


@dataclass(frozen=True, eq=False, kw_only=True)
class CrossedPosterior(SampledPosterior):
    """Weighted draws of a fit with two groupings that cross.

    Parameters
    ----------
    names : tuple of numpy.ndarray
        Labels of the groups of either grouping.
    turned : bool
        Whether the second grouping stands first in ``spreads`` and ``stand``.
    spreads : numpy.ndarray
        ``(blocks, 3)``: SDs of both groupings and of trays, on the log odds.
    stand : CrossedStand
    chosen : numpy.ndarray
        ``(draws, coefficients)``, in the log odds of the chosen lines.
    """

    names: tuple[NDArray[np.object_], NDArray[np.object_]]
    turned: bool
    spreads: FloatArray
    stand: CrossedStand
    chosen: FloatArray

    def spread_draws(self, which: int) -> tuple[FloatArray, FloatArray]:
        """How large is the SD of the first (0) or second (1) grouping, or of trays (2)?

        Returns
        -------
        (values, weights)
            Per draw, weights summing to 1.
        """
        each = self.chosen.shape[0] // self.spreads.shape[0]
        return np.repeat(self.spreads[:, self._inside(which)], each), self.weights

    def _inside(self, which: int) -> int:
        return 1 - which if self.turned and which < 2 else which

    def takes(
        self, design: ArrayLike, which: int, row_weights: ArrayLike | None = None
    ) -> FloatArray:
        """What take has each group of one grouping, averaged over the other and over trays?

        Parameters
        ----------
        design : array_like
            Rows x coefficients: what is grafted.
        which : {0, 1}
            The grouping.
        row_weights : array_like, optional
            One weight per row; equal when left out.

        Returns
        -------
        numpy.ndarray
            ``(draws, groups)``, even draws.
        """
        x = np.atleast_2d(np.asarray(design, dtype=float))
        share = np.ones(x.shape[0]) if row_weights is None else np.asarray(row_weights, float)
        share = share / share.sum()
        rng = np.random.default_rng([self.seed, 31, which])
        at = even_places(self.weights, _EFFECT_DRAWS)
        block = at // (self.chosen.shape[0] // self.spreads.shape[0])
        found = self.stand.effects_of(self.chosen[at], block)
        spread = self.spreads[block]
        which = self._inside(which)
        first = which == 0
        mean = found.first if first else found.second
        covariance = _covariance(found.own, found.cross, found.left, first=first)
        root = np.linalg.cholesky(covariance)
        points = sobol_points(mean.shape[1], _EFFECT_DRAWS, rng)
        z = ndtri(np.clip(points, 1e-12, 1.0 - 1e-12))
        effect = spread[:, which, None] * (mean + np.einsum("dgh,dh->dg", root, z))
        rest = np.hypot(spread[:, 1 - which], spread[:, 2])
        values, back = np.unique(rest, return_inverse=True)
        table = cubic_cells(averaged_logit(values, GRID)).reshape(-1, 4)
        base = back.ravel()[:, None] * CELLS
        rows = self.coefficients[at] @ x.T
        out: FloatArray = np.zeros(effect.shape)
        for i in range(x.shape[0]):
            cell, t = place(rows[:, i, None] + effect)
            out += share[i] * expit(cubic(table, base + cell, t))
        return out


def sample_crossed(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    first: ArrayLike,
    second: ArrayLike,
    *,
    level: ArrayLike | None = None,
    group_scales: tuple[float, float] = (PRIOR_SIGMA, PRIOR_SIGMA),
    seed: int = 1,
) -> CrossedPosterior:
    """What do these trays say about the take, when they stand in two groupings?

    Parameters
    ----------
    taken, tried : array_like
        Takes out of grafts, one entry per tray.
    design : array_like
        Trays x coefficients, of full rank, the overall level among them.
    first, second : array_like
        Labels of the groups of each tray.
    level : array_like, optional
        Level of the first factor, 0, 1, ... per tray: each has the prior of a level
        alone. All one level when left out.
    group_scales : tuple of float
        Half-normal scales of the SDs of both groupings on the log odds.
    seed : int
        Same data, same seed, same digits.

    Returns
    -------
    CrossedPosterior
        ``notes`` say that it is approximate.

    Raises
    ------
    CountsError, DesignError
        Counts, a design or labels that cannot be used.

    Notes
    -----
    logit = x b + tau1 u + tau2 v + sigma e, the three SDs half-normal(1.5); the prior on b
    is that of one layer (:mod:`takestats.models.sampled_prior`), the take averaged over
    all three. The tray's own effect is integrated; u and v by Laplace's approximation
    (Breslow & Clayton 1993, J Am Stat Assoc 88:9-25, from memory), which is rough where
    groups have few grafts or every graft took.
    """
    labels = [np.asarray(side, dtype=object).ravel() for side in (first, second)]
    count = np.asarray(taken, dtype=float).size
    if labels[0].size != count or labels[1].size != count:
        raise DesignError(
            where="the lines of the fit",
            what=f"{labels[0].size} and {labels[1].size} labels of groups for {count} lines",
            rule="every line stands in one group of either grouping",
            next_step="pass one label per line and grouping",
        )
    unit = np.empty(count, dtype=object)
    unit[:] = list(zip(labels[0].tolist(), labels[1].tolist(), strict=True))
    rows = layered_rows(taken, tried, design, unit, layer="grouping", level=level)
    names, member = [], []
    for side in (0, 1):
        of_row = [rows.names[i][side] for i in rows.unit]
        known = list(dict.fromkeys(of_row))
        held = np.zeros((rows.rows, len(known)))
        held[np.arange(rows.rows), [known.index(name) for name in of_row]] = 1.0
        label = np.empty(len(known), dtype=object)
        label[:] = known
        names.append(label)
        member.append(held)
    # The smaller grouping is the one that is solved for.
    turned = member[0].shape[1] < member[1].shape[1]
    scales = group_scales
    if turned:
        member, scales = member[::-1], scales[::-1]
    model = CrossedModel(rows=rows, first=member[0], second=member[1])
    stand, log_ratio = stand_on_nodes(model, (*scales, PRIOR_SIGMA))
    proposal = split_proposal(rows.patterns, stand.modes, stand.log_posterior)
    theta, log_weight = _weigh(stand, log_ratio, proposal, _DRAWS, seed * 10_000)
    if _ess(log_weight) < ENOUGH:
        again = matched_proposal(proposal, theta, log_weight.ravel())
        tries = [
            _weigh(stand, log_ratio, p, 4 * _DRAWS, seed * 10_000 + 500) for p in (proposal, again)
        ]
        theta, log_weight = max(tries, key=lambda found: _ess(found[1]))
    return _posterior(stand, theta, log_weight, (names[0], names[1]), turned, seed)


def _posterior(
    stand: CrossedStand,
    theta: FloatArray,
    log_weight: FloatArray,
    names: tuple[NDArray[np.object_], NDArray[np.object_]],
    turned: bool,
    seed: int,
) -> CrossedPosterior:
    rows = stand.model.rows
    flat = log_weight.ravel()
    chosen = theta.reshape(flat.size, -1)
    n, k = rows.pair_tried, rows.pair_taken
    ways = rows.curve_pairs[rows.curve].sum(axis=0) @ (
        gammaln(n + 1.0) - gammaln(k + 1.0) - gammaln(n - k + 1.0)
    )
    ess = _ess(log_weight)
    view = SampledPart(
        family="logit-normal",
        own_spread=False,
        coefficients=chosen @ rows.to_coefficients.T,
        spread=np.sqrt((stand.spreads**2).sum(axis=1))[:, None],
        log_weight=flat,
        log_evidence=float(logsumexp(flat) - np.log(flat.size) + ways),
        probability=1.0,
        ess=ess,
    )
    weak = f"the limits are approximate: {whole(ess)} effective draws"
    return CrossedPosterior(
        parts=(view,),
        levels=1,
        notes=(APPROXIMATE,) if ess >= ENOUGH else (APPROXIMATE, weak),
        seed=seed,
        names=names,
        turned=turned,
        spreads=stand.spreads,
        stand=stand,
        chosen=chosen,
    )


def _covariance(own: FloatArray, cross: FloatArray, left: FloatArray, *, first: bool) -> FloatArray:
    """Covariance of the effects of one grouping at their peak."""
    inverse: FloatArray = np.linalg.inv(left).astype(np.float64)
    if not first:
        return inverse
    scaled = cross / own[..., None]
    result: FloatArray = scaled @ inverse @ np.swapaxes(scaled, 1, 2)
    places = np.arange(own.shape[1])
    result[:, places, places] += 1.0 / own
    return result


def _ess(log_weight: FloatArray) -> float:
    flat = log_weight.ravel()
    return float(np.exp(2.0 * logsumexp(flat) - logsumexp(2.0 * flat)))


def _weigh(
    stand: CrossedStand, log_ratio: FloatArray, proposal: Proposal, draws: int, seed: int
) -> tuple[FloatArray, FloatArray]:
    nodes, size = proposal.centre.shape
    each = draws // nodes
    points = sobol_points(size + 1, nodes * each, np.random.default_rng([seed, 3]))
    points = np.clip(points, 1e-12, 1.0 - 1e-12).reshape(nodes, each, size + 1)
    theta, log_density = proposal.draw(points)
    return theta, stand.log_posterior(theta) + log_ratio[:, None] - log_density
