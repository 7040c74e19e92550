"""From where are coefficients drawn before they are weighed?

A multivariate t around the peak, along axes taken from the worst-known log odds
downwards, with a scale of its own on either side of each axis: where every graft
of a level took, the posterior falls like a cliff on one side and like a slope on
the other. The split is Geweke's (1989, Econometrica 57:1317, from memory), made
continuous by drawing the wider side more often.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammainccinv, gammaincinv, gammaln, logsumexp, ndtr, ndtri

from takestats.models.sampled_density import cubic, log_posterior
from takestats.models.sampled_families import cubic_cells
from takestats.models.sampled_plan import Plan

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines
    from takestats.models.sampled_modes import Modes

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_FEW_COEFFICIENTS = 8
_PROBES = (1.5, 3.0)
_NARROWEST, _WIDEST = 0.5, 3.0
#: Normal scores of the table of stretches: how far, and cells to each. Points end at 1e-12, 7.03.
_FURTHEST, _FINE = 7.25, 16


@dataclass(frozen=True, eq=False, kw_only=True)
class Proposal:
    """A split multivariate t per spread vector.

    Parameters
    ----------
    centre : numpy.ndarray
        ``(vectors, coefficients)``.
    axes : numpy.ndarray
        ``(vectors, coefficients, axes)``: one column per axis, a standard
        deviation long.
    below, above : numpy.ndarray
        ``(vectors, axes)``: scale on either side of the centre.
    """

    centre: FloatArray
    axes: FloatArray
    below: FloatArray
    above: FloatArray

    def draw(self, points: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Turn uniform points into draws and their log density.

        Parameters
        ----------
        points : numpy.ndarray
            ``(vectors, draws, coefficients + 1)``, inside 0 to 1.

        Returns
        -------
        (draws, log_density)
            ``(vectors, draws, coefficients)`` and ``(vectors, draws)``.
        """
        size = self.centre.shape[1]
        freedom, wider = _tails(size)
        share = (self.below / (self.below + self.above))[:, None, :]
        u = points[:, :, :size]
        low = u < share
        half = np.where(low, 0.5 * u / share, 0.5 + 0.5 * (u - share) / (1.0 - share))
        z = ndtri(np.clip(half, 1e-15, 1.0 - 1e-15))
        z *= _stretch(freedom, points[:, :, size])[:, :, None]
        log_t = -0.5 * (freedom + size) * np.log1p(np.einsum("jdp,jdp->jd", z, z) / freedom)
        log_t += (
            gammaln((freedom + size) / 2)
            - gammaln(freedom / 2)
            - 0.5 * size * np.log(freedom * np.pi)
        )
        z *= wider * np.where(low, self.below[:, None, :], self.above[:, None, :])
        log_t += size * np.log(2.0 / wider)
        log_t -= (np.log(self.below + self.above).sum(axis=1) + np.linalg.slogdet(self.axes)[1])[
            :, None
        ]
        return self.centre[:, None, :] + z @ np.swapaxes(self.axes, 1, 2), log_t


def proposal_at_modes(lines: Lines, own: IntArray | None, plan: Plan) -> Proposal:
    """Draw around the peaks of a plan."""
    if lines.many:
        best = int((plan.modes.log_evidence + plan.log_ratio).argmax())
        alone = replace(plan, vectors=plan.vectors[best : best + 1])
        return shared_split_proposal(
            lines.basis, plan.modes, best, lambda theta: log_posterior(lines, own, alone, theta)
        )
    return split_proposal(
        lines.basis, plan.modes, lambda theta: log_posterior(lines, own, plan, theta)
    )


def split_proposal(
    basis: FloatArray, modes: Modes, log_height: Callable[[FloatArray], FloatArray]
) -> Proposal:
    """Draw around peaks, each side of each axis as wide as the posterior falls there.

    Parameters
    ----------
    basis : numpy.ndarray
        Rows x coefficients: the axes follow the worst-known of these log odds.
    modes : Modes
    log_height : callable
        Log posterior of points of shape ``(vectors, points, coefficients)``.
    """
    axes = _axes(basis, np.linalg.inv(modes.scoring).astype(np.float64))
    size = modes.at.shape[1]
    probes = modes.at[:, None, :] + _moves(size) @ np.swapaxes(axes, 1, 2)
    both = np.concatenate([modes.at[:, None, :], probes], axis=1)
    height = log_height(both)
    scale = _reach(height)
    return Proposal(centre=modes.at, axes=axes, below=scale[:, 0, :], above=scale[:, 1, :])


def shared_split_proposal(
    basis: FloatArray, modes: Modes, best: int, log_height: Callable[[FloatArray], FloatArray]
) -> Proposal:
    """Draw around many wide peaks: how far each side reaches is looked at for one of them alone.

    Parameters
    ----------
    basis : numpy.ndarray
        Rows x coefficients: the axes follow the worst-known of these log odds.
    modes : Modes
    best : int
        The peak that stands for all.
    log_height : callable
        Log posterior at that peak's spreads, of points of shape ``(1, points, coefficients)``.
    """
    covariance = np.linalg.inv(modes.scoring).astype(np.float64)
    chosen = basis[_worst_known(basis, covariance[best])]
    known = np.linalg.cholesky(chosen @ covariance @ chosen.T)
    axes = np.linalg.solve(chosen, known)
    size = modes.at.shape[1]
    around = np.concatenate([np.zeros((1, size)), _moves(size) @ axes[best].T]) + modes.at[best]
    height = log_height(around[None])[0]
    scale = np.broadcast_to(_reach(height[None]), (modes.at.shape[0], 2, size))
    return Proposal(centre=modes.at, axes=axes, below=scale[:, 0, :], above=scale[:, 1, :])


def matched_proposal(before: Proposal, draws: FloatArray, log_weight: FloatArray) -> Proposal:
    """Move and stretch a proposal to the mean and covariance of weighted draws from it.

    The moments are those along the axes, pooled over the spread vectors.
    """
    size = before.centre.shape[1]
    inner = np.einsum(
        "jqp,jdp->jdq", np.linalg.inv(before.axes), draws - before.centre[:, None, :]
    ).reshape(-1, size)
    weight = np.exp(log_weight - logsumexp(log_weight))
    shift = weight @ inner
    cover = (inner - shift).T @ ((inner - shift) * weight[:, None])
    cover += 0.02 * np.trace(cover) / size * np.eye(size)
    ones = np.ones_like(before.below)
    return Proposal(
        centre=before.centre + before.axes @ shift,
        axes=before.axes @ np.linalg.cholesky(cover),
        below=ones,
        above=ones,
    )


def _tails(size: int) -> tuple[float, float]:
    """Degrees of freedom and stretch of the t: nearer the normal where coefficients are many.

    Among many coefficients a t of few degrees of freedom is nearly always too far out or
    too near as a whole.
    """
    many = max(size / _FEW_COEFFICIENTS, 1.0)
    return 5.0 * many, 1.0 + 0.25 / many


def _stretch(freedom: float, u: FloatArray) -> FloatArray:
    """What makes a normal draw one of Student's t: sqrt(freedom / chi-square) at these shares.

    Read from a table in normal scores, right to 1e-9, in a tenth of the time.
    """
    at = (ndtri(u) + _FURTHEST) * _FINE
    cell = at.astype(np.intp)
    at -= cell
    log_stretch = cubic(_stretches(freedom), cell, at)
    return np.exp(log_stretch, out=log_stretch)


@lru_cache(maxsize=64)
def _stretches(freedom: float) -> FloatArray:
    """Cubics of the logarithm of :func:`_stretch` along normal scores."""
    cells = round(2.0 * _FURTHEST * _FINE)
    score = np.arange(-2, cells + 3) / _FINE - _FURTHEST
    half = 0.5 * freedom
    gamma = np.where(score < 0.0, gammaincinv(half, ndtr(score)), gammainccinv(half, ndtr(-score)))
    return cubic_cells(0.5 * np.log(half / gamma))


def _moves(size: int) -> FloatArray:
    """Steps along the axes: near ones below and above, then far ones likewise."""
    both = [sign * far * np.eye(size) for far in _PROBES for sign in (-1.0, 1.0)]
    return np.concatenate(both)


def _reach(height: FloatArray) -> FloatArray:
    """How far the posterior reaches either side of each axis, ``(vectors, 2, axes)``.

    Heights at the peak, then at the probes: near ones below and above, far ones likewise.
    """
    size = (height.shape[1] - 1) // (2 * len(_PROBES))
    drop = np.maximum(height[:, :1] - height[:, 1:], 1e-3).reshape(-1, len(_PROBES), 2, size)
    scale = (np.array(_PROBES)[:, None, None] / np.sqrt(2.0 * drop)).max(axis=1)
    result: FloatArray = np.clip(scale, _NARROWEST, _WIDEST)
    return result


def _worst_known(basis: FloatArray, covariance: FloatArray) -> IntArray:
    """Rows whose log odds are known worst, each given those before it; one for each axis."""
    root = basis @ np.linalg.cholesky(covariance)
    found = np.empty(covariance.shape[0], dtype=np.intp)
    for i in range(found.size):
        length = np.einsum("np,np->n", root, root)
        found[i] = np.argmax(length >= length.max() * (1 - 1e-6))
        along = root[found[i]] / np.sqrt(length[found[i]])
        root = root - (root @ along)[:, None] * along
    return found


def _axes(basis: FloatArray, covariance: FloatArray) -> FloatArray:
    """Axes of each covariance: the worst-known log odds first, then what is left of the next."""
    left = covariance.copy()
    axes = np.empty_like(covariance)
    for i in range(covariance.shape[1]):
        moved = np.einsum("np,jpq->jnq", basis, left)
        length = np.einsum("jnq,nq->jn", moved, basis)
        worst = np.argmax(length >= length.max(axis=1, keepdims=True) * (1 - 1e-6), axis=1)
        rows = np.arange(worst.size)
        axes[:, :, i] = moved[rows, worst] / np.sqrt(length[rows, worst])[:, None]
        left = left - axes[:, :, i, None] * axes[:, None, :, i]
    return axes
