"""What do the trays say about the take where they stand in groups, or hold several rows?

A layer above the trays (blocks, days, combinations, seasons), or several rows in
one tray (two methods, two caliper classes): weighted draws from the average of two
models, whatever the design, by deterministic importance sampling.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from scipy.special import gammaln, logsumexp

from takestats.errors import DesignError
from takestats.models.layered_axes import Axis
from takestats.models.layered_curves import CurveModel
from takestats.models.layered_draws import ENOUGH, LayeredDraws, draw_from, stand_of
from takestats.models.layered_posterior import LayeredPart, LayeredPosterior
from takestats.models.layered_quantiles import QuantileModel
from takestats.models.layered_rows import Layer, LayeredRows, layered_rows
from takestats.models.sampled_part import SampledPart
from takestats.models.side_by_side import beside
from takestats.models.spread import PRIOR_SIGMA
from takestats.wording.numbers import whole

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import ArrayLike

Made = TypeVar("Made")

#: Draws of an unlikely family: times its share, at least this part of all, and this many.
_SHARE, _LEAST, _FEWEST, _EACH = 4.0, 1.0 / 16.0, 256, 8
#: Up to so many merged rows both families are drawn alike.
_FEW_ROWS = 20
#: Half-normal scale of what a row of a tray adds for itself, on the log odds.
PRIOR_ROW = 0.5


def sample_layers(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    unit: ArrayLike,
    *,
    layer: Layer,
    level: ArrayLike | None = None,
    row_effect: bool = True,
    group_scale: float = PRIOR_SIGMA,
    seed: int = 1,
) -> LayeredPosterior:
    """What do these rows say about the take, when they stand in groups or share trays?

    Parameters
    ----------
    taken, tried : array_like
        Takes out of grafts, one entry per row.
    design : array_like
        Rows x coefficients, of full rank, the overall level among them.
    unit : array_like
        Label of the group of each row, or of its tray.
    layer : {"grouping", "rows"}
        ``"grouping"``: each row is a tray, trays stand in groups (a block, a day;
        a combination, season, grafter). ``"rows"``: each row is part of a tray.
    level : array_like, optional
        Level of the first factor, 0, 1, ... per row: each has the prior of a level
        alone.
    row_effect : bool
        Rows of a tray: False where the levels were drawn graft by graft, so that
        rows of a tray differ by chance alone.
    group_scale : float
        Half-normal scale of the groups' SD on the log odds.
    seed : int
        Same data, same seed, same digits.

    Returns
    -------
    LayeredPosterior

    Raises
    ------
    CountsError, DesignError
        Counts, a design or labels that cannot be used.

    Notes
    -----
    *Groups*: logit = x b + tau u + tray part, tau ~ half-normal; trays
    beta-binomial with rho ~ Beta(1, 4) or logit-normal with sigma ~
    half-normal(1.5). *Rows of a tray*: logit P = x b + sigma z + omega e, sigma ~
    half-normal(1.5) for the tray, omega ~ half-normal(.5) for the row; or P the
    same quantile Phi(z) of beta distributions with the rows' own means and one rho
    ~ Beta(1, 4). Each two parts have equal prior weight and are averaged by
    evidence; the prior on the coefficients is that of
    :mod:`takestats.models.sampled_prior`, m the take averaged over every layer.
    With one row in each tray the second part is the beta-binomial.

    Fewer than about five groups say little of their own spread: limits then rest
    on the prior of tau.

    References
    ----------
    Adaptive quadrature: Pinheiro & Bates 1995, J Comput Graph Stat 4:12-35 (from
    memory).

    Examples
    --------
    >>> post = sample_layers([18, 20, 15, 12], [20] * 4, [[1, 0], [1, 1]] * 2,
    ...                      ["day 1", "day 1", "day 2", "day 2"], layer="grouping")
    >>> takes = post.averaged_take([[1, 0], [1, 1]])
    >>> low, high = post.quantiles(takes[:, 0] - takes[:, 1], [0.025, 0.975])
    >>> bool(low < 0.1 < high)
    True
    """
    if layer not in ("grouping", "rows") or not group_scale > 0.0:
        raise DesignError(
            where="layer",
            what=f"{layer!r}, scale {group_scale}",
            rule="grouping (trays in groups) or rows (rows in trays), with a scale above 0",
            next_step="choose one of these",
        )
    rows = layered_rows(taken, tried, design, unit, layer=layer, level=level)
    models: list[CurveModel | QuantileModel]
    if layer == "grouping":
        group = Axis(scale=group_scale)
        models = [
            CurveModel(rows=rows, family="beta-binomial", axes=(group, Axis(scale=None))),
            CurveModel(rows=rows, family="logit-normal", axes=(group, Axis(scale=PRIOR_SIGMA))),
        ]
    else:
        row = Axis(scale=PRIOR_ROW if row_effect else 0.0)
        models = [
            QuantileModel(rows=rows),
            CurveModel(rows=rows, family="logit-normal", axes=(Axis(scale=PRIOR_SIGMA), row)),
        ]
    draws = draws_for(rows.rows, rows.lines, layer)
    seeds = [seed * 10_000 + 1_000 * i for i in range(len(models))]
    found, wanted = _drawn_by_evidence(models, draws, seeds, rows)
    evidence = np.array([part.log_evidence for part in found])
    probability = np.exp(evidence - logsumexp(evidence))
    ways = _log_ways(rows)
    parts = tuple(
        _part(rows, model, part, float(p), ways)
        for model, part, p in zip(models, found, probability, strict=True)
    )
    weak = [
        part.ess for part, n in zip(found, wanted, strict=True) if part.ess < ENOUGH * n / draws
    ]
    notes: tuple[str, ...] = ()
    if weak:
        notes = (
            "the limits are approximate: "
            f"{whole(min(weak))} effective draws in one of the averaged models",
        )
    return LayeredPosterior(
        parts=tuple(part.view for part in parts),
        levels=1,
        notes=notes,
        seed=seed,
        layer=layer,
        rows=rows,
        layered=parts,
    )


def _drawn_by_evidence(
    models: Sequence[CurveModel | QuantileModel],
    draws: int,
    seeds: Sequence[int],
    rows: LayeredRows,
) -> tuple[list[LayeredDraws], list[int]]:
    """Both families, fewer draws of one that the data speak against; many rows at once.

    What a family adds to the uncertainty of a limit goes with its probability; a sixteenth of
    the draws, or four times its share of them, leaves that below what the likelier one adds.
    """
    stands = _both([partial(stand_of, model) for model in models], rows)
    best = max(stand.log_evidence for stand in stands)
    wanted = []
    for stand in stands:
        share = min(1.0, max(_SHARE * np.exp(stand.log_evidence - best), _LEAST))
        nodes = stand.nodes.outer_q.size
        few = max(int(2.0 ** np.ceil(np.log2(share * draws))), _FEWEST, _EACH * nodes)
        wanted.append(draws if rows.rows <= _FEW_ROWS else min(few, draws))
    drawing = [
        partial(draw_from, stand, n, seed, slight=n < draws)
        for stand, n, seed in zip(stands, wanted, seeds, strict=True)
    ]
    return _both(drawing, rows), wanted


def _both(tasks: Sequence[Callable[[], Made]], rows: LayeredRows) -> list[Made]:
    """What two tasks make; at once where many rows make that worth another process."""
    first, second = tasks
    if not rows.many:
        return [first(), second()]
    waiting = beside(first)
    other = second()
    return [waiting(), other]


def _part(
    rows: LayeredRows,
    model: CurveModel | QuantileModel,
    part: LayeredDraws,
    probability: float,
    log_ways: float,
) -> LayeredPart:
    """A part, with the view of it that averages takes over all layers at once."""
    quantile = isinstance(model, QuantileModel)
    spread = part.inner if quantile else model.averaging(part.outer, part.inner)
    view = SampledPart(
        family="beta-binomial" if quantile else "logit-normal",
        own_spread=False,
        coefficients=part.chosen_log_odds @ rows.to_coefficients.T,
        spread=spread[:, None],
        log_weight=part.log_weight,
        log_evidence=part.log_evidence + log_ways,
        probability=probability,
        ess=part.ess,
    )
    return LayeredPart(model=model, outer=part.outer, inner=part.inner, view=view)


def _log_ways(rows: LayeredRows) -> float:
    n, k = rows.pair_tried, rows.pair_taken
    ways = gammaln(n + 1.0) - gammaln(k + 1.0) - gammaln(n - k + 1.0)
    return float(rows.curve_pairs[rows.curve].sum(axis=0) @ ways)


def draws_for(rows: int, lines: int, layer: Layer) -> int:
    """Draws per part: many where rows are few and the limits wide.

    32,768 up to 10 merged rows, 16,384 up to 20; in groups 8,192 up to 600 trays and 4,096 from
    there on; with several rows in each tray 4,096 from 21 rows on. Measured: 16,384 draws left
    one limit of a trial of three trays .006 from dense integration, 32,768 none over .005.
    """
    if rows <= 20:
        return 32_768 if rows <= 10 else 16_384
    return 8_192 if layer == "grouping" and lines <= 600 else 4_096
