"""What take has each group of its own, a new group, a new tray?

Even draws are picked from the weighted ones; for each, every group's effect is
drawn from what its own trays leave open. Trays of a group pull its take towards
themselves, the other groups towards what is usual: the more, the fewer its grafts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import betaincinv, expit, ndtri

from takestats.errors import DesignError
from takestats.models.layered_curves import CurveModel
from takestats.models.layered_information import CELLS, GRID, place
from takestats.models.layered_posterior import LayeredPart, LayeredPosterior
from takestats.models.layered_units import unit_peaks
from takestats.models.sampled_density import cubic
from takestats.models.sampled_families import averaged_logit, cubic_cells
from takestats.models.weighted import even_places

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_DRAWS = 16_384
_LEAST_DRAWS = 1024
_MOST_LOOKUPS = 2.5e7
_GRID = np.linspace(-6.0, 6.0, 41)
_TURNS = 14
_BLOCK = 150_000


@dataclass(frozen=True, eq=False, kw_only=True)
class GroupDraws:
    """Even draws of everything that a prediction for a group or a tray rests on.

    Parameters
    ----------
    names : numpy.ndarray
        Labels of the groups, in the order of ``effects``.
    coefficients : numpy.ndarray
        ``(draws, coefficients)``.
    effects : numpy.ndarray
        ``(draws, groups)``: what each group adds to the log odds.
    new_effect : numpy.ndarray
        ``(draws,)``: what a group not seen yet adds.
    tray_sd, icc : numpy.ndarray
        ``(draws,)``: SD of a tray on the log odds, or intra-tray correlation
        within a group; the other is 0.
    seed : int
    """

    names: NDArray[np.object_]
    coefficients: FloatArray
    effects: FloatArray
    new_effect: FloatArray
    tray_sd: FloatArray
    icc: FloatArray
    seed: int

    def takes(self, design: ArrayLike, row_weights: ArrayLike | None = None) -> FloatArray:
        """What take has each group, averaged over its trays?

        Parameters
        ----------
        design : array_like
            Rows x coefficients: what is grafted.
        row_weights : array_like, optional
            One weight per row, or ``(groups, rows)`` for a mix of its own in each
            group; equal when left out.

        Returns
        -------
        numpy.ndarray
            ``(draws, groups)``.
        """
        return self._averaged(design, row_weights, self.effects)

    def new_group(self, design: ArrayLike, row_weights: ArrayLike | None = None) -> FloatArray:
        """What take would a group not seen yet have, averaged over its trays? ``(draws,)``."""
        return self._averaged(design, row_weights, self.new_effect[:, None])[:, 0]

    def new_tray(self, design: ArrayLike, group: object = None) -> FloatArray:
        """What take would one tray not seen yet have?

        Parameters
        ----------
        design : array_like
            One row: what is grafted.
        group : label, optional
            A group that was seen; a new one when left out.

        Returns
        -------
        numpy.ndarray
            ``(draws,)``.

        Raises
        ------
        DesignError
            For a group that was not seen.
        """
        row = np.asarray(design, dtype=float).ravel()
        eta = self.coefficients @ row
        eta = eta + (self.new_effect if group is None else self.effects[:, self._place(group)])
        u = _strata(np.random.default_rng([self.seed, 29]), eta.size)
        out = expit(eta + self.tray_sd * ndtri(u))
        beta = self.icc > 0.0
        size = 1.0 / self.icc[beta] - 1.0
        mean = eta[beta]
        out[beta] = betaincinv(size * expit(mean), size * expit(-mean), u[beta])
        return np.asarray(out)

    def _place(self, group: object) -> int:
        known = self.names.tolist()
        if group not in known:
            raise DesignError(
                where="the group asked about",
                what=f"{group!r}",
                rule="a group that the fit has seen",
                next_step=f"one of {', '.join(map(str, known[:12]))}; or ask about a new one",
            )
        return int(known.index(group))

    def _averaged(
        self, design: ArrayLike, row_weights: ArrayLike | None, effects: FloatArray
    ) -> FloatArray:
        x = np.atleast_2d(np.asarray(design, dtype=float))
        groups = effects.shape[1]
        weights = (
            np.ones((1, x.shape[0]))
            if row_weights is None
            else np.atleast_2d(np.asarray(row_weights, dtype=float))
        )
        weights = np.broadcast_to(weights, (groups, x.shape[0]))
        weights = weights / weights.sum(axis=1, keepdims=True)
        rows = self.coefficients @ x.T
        values, back = np.unique(self.tray_sd, return_inverse=True)
        table = cubic_cells(averaged_logit(values, GRID)).reshape(-1, 4)
        first = back.ravel()[:, None] * CELLS
        out = np.zeros((rows.shape[0], groups))
        for i in range(x.shape[0]):
            cell, t = place(rows[:, i, None] + effects)
            out += expit(cubic(table, first + cell, t)) * weights[:, i]
        return out


def group_draws(posterior: LayeredPosterior) -> GroupDraws:
    """Draw each group's own effect behind every one of some even draws.

    Parameters
    ----------
    posterior : LayeredPosterior
        A fit with ``layer="grouping"``.

    Returns
    -------
    GroupDraws

    Raises
    ------
    DesignError
        For a fit of rows in trays, which has no groups.

    Notes
    -----
    A group's effect is drawn by its distribution function on 40 steps around its
    peak; shares of one are spread evenly over the draws, for each group in an
    order of its own.
    """
    if posterior.layer != "grouping":
        raise DesignError(
            where="the takes of groups",
            what="a fit of several rows in each tray",
            rule="groups are a layer above the trays",
            next_step="fit with a grouping",
        )
    rows = posterior.rows
    fit = _MOST_LOOKUPS / (rows.rows * (_GRID.size + _TURNS))
    many = int(2 ** np.floor(np.log2(np.clip(fit, _LEAST_DRAWS, _DRAWS))))
    rng = np.random.default_rng([posterior.seed, 23])
    chosen = even_places(posterior.weights, many)
    shares = np.column_stack([_strata(rng, many) for _ in range(rows.units + 1)])
    pieces = []
    start = 0
    for part in posterior.layered:
        mine = (chosen >= start) & (chosen < start + part.view.draws)
        pieces.append(_of_part(part, chosen[mine] - start, shares[mine]))
        start += part.view.draws
    coefficients, effects, new, sd, icc = (
        np.concatenate([piece[i] for piece in pieces]) for i in range(5)
    )
    return GroupDraws(
        names=rows.names,
        coefficients=coefficients,
        effects=effects,
        new_effect=new,
        tray_sd=sd,
        icc=icc,
        seed=posterior.seed,
    )


def _strata(rng: np.random.Generator, many: int) -> FloatArray:
    """One uniform number in each of so many equal steps, in random order."""
    result: FloatArray = (rng.permutation(many) + rng.random(many)) / many
    return np.clip(result, 1e-12, 1.0 - 1e-12)


def _of_part(
    part: LayeredPart, draws: IntArray, shares: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]:
    model = part.model
    assert isinstance(model, CurveModel)
    rows = model.rows
    block = draws // (part.view.draws // part.outer.size)
    values, place_of = np.unique(part.inner, return_inverse=True)
    inner = place_of.ravel()[block]
    sd = part.outer[block]
    coefficients = part.view.coefficients[draws]
    theta = coefficients @ np.linalg.inv(rows.to_coefficients).T
    z = np.empty((draws.size, rows.units))
    table = model.curves(values).reshape(-1, 4)
    step = max(1, _BLOCK // (rows.rows * _GRID.size))
    for i in range(0, draws.size, step):
        some = slice(i, i + step)
        base = (inner[some, None] * rows.curve_pairs.shape[0] + rows.curve) * CELLS
        eta = theta[some] @ rows.basis.T
        nothing = np.zeros((eta.shape[0], rows.units))
        peak, curved, _ = unit_peaks(rows, table, base, eta, sd[some], nothing, _TURNS)
        at = peak[..., None] + _GRID / np.sqrt(curved)[..., None]
        cell, t = place(eta[..., None] + sd[some, None, None] * at[:, rows.unit])
        log_p = rows.by_unit(cubic(table, cell + base[..., None], t), axis=1) - 0.5 * at * at
        z[some] = _drawn(at, log_p, shares[some, :-1])
    normal = model.family == "logit-normal"
    inside = part.inner[block]
    absent = np.zeros(draws.size)
    return (
        coefficients,
        sd[:, None] * z,
        sd * ndtri(shares[:, -1]),
        inside if normal else absent,
        absent if normal else inside,
    )


def _drawn(at: FloatArray, log_p: FloatArray, share: FloatArray) -> FloatArray:
    """Where the distribution function meets these shares, the density straight in each step."""
    p = np.exp(log_p - log_p.max(axis=-1, keepdims=True))
    mass = 0.5 * (p[..., 1:] + p[..., :-1])
    below = np.cumsum(mass, axis=-1)
    want = share * below[..., -1]
    i = np.minimum((below < want[..., None]).sum(axis=-1), mass.shape[-1] - 1)

    def pick(values: FloatArray, where: IntArray) -> FloatArray:
        result: FloatArray = np.take_along_axis(values, where[..., None], axis=-1)[..., 0]
        return result

    left, right = pick(p, i), pick(p, i + 1)
    rest = np.clip(want - (pick(below, i) - pick(mass, i)), 0.0, None)
    bend = right - left
    root = np.sqrt(np.maximum(left * left + 2.0 * bend * rest, 0.0))
    inside = np.clip(2.0 * rest / np.maximum(left + root, 1e-300), 0.0, 1.0)
    result: FloatArray = pick(at, i) + inside * (pick(at, i + 1) - pick(at, i))
    return result
