"""From where are coefficients drawn before they are weighed?

A multivariate t around the peak, along axes taken from the worst-known log odds
downwards, with a scale of its own on either side of each axis: where every graft
of a level took, the posterior falls like a cliff on one side and like a slope on
the other. The split is Geweke's (1989, Econometrica 57:1317, from memory), made
continuous by drawing the wider side more often.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import gammaincinv, gammaln, logsumexp, ndtri

from takestats.models.sampled_density import log_posterior
from takestats.models.sampled_plan import Plan

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines
    from takestats.models.sampled_modes import Modes

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_DF = 5.0
_WIDER = 1.25
_PROBES = (1.5, 3.0)
_NARROWEST, _WIDEST = 0.5, 3.0


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
        share = (self.below / (self.below + self.above))[:, None, :]
        u = points[:, :, :size]
        low = u < share
        half = np.where(low, 0.5 * u / share, 0.5 + 0.5 * (u - share) / (1.0 - share))
        z = ndtri(np.clip(half, 1e-15, 1.0 - 1e-15))
        z *= np.sqrt(_DF / (2.0 * gammaincinv(_DF / 2.0, points[:, :, size])))[:, :, None]
        log_t = -0.5 * (_DF + size) * np.log1p(np.einsum("jdp,jdp->jd", z, z) / _DF)
        log_t += gammaln((_DF + size) / 2) - gammaln(_DF / 2) - 0.5 * size * np.log(_DF * np.pi)
        z *= _WIDER * np.where(low, self.below[:, None, :], self.above[:, None, :])
        log_t += size * np.log(2.0 / _WIDER)
        log_t -= (np.log(self.below + self.above).sum(axis=1) + np.linalg.slogdet(self.axes)[1])[
            :, None
        ]
        return self.centre[:, None, :] + z @ np.swapaxes(self.axes, 1, 2), log_t


def proposal_at_modes(lines: Lines, own: IntArray | None, plan: Plan) -> Proposal:
    """Draw around the peaks of a plan."""
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
    vectors, size = modes.at.shape
    moves = np.concatenate([sign * far * np.eye(size) for far in _PROBES for sign in (-1.0, 1.0)])
    probes = modes.at[:, None, :] + moves @ np.swapaxes(axes, 1, 2)
    both = np.concatenate([modes.at[:, None, :], probes], axis=1)
    height = log_height(both)
    drop = np.maximum(height[:, :1] - height[:, 1:], 1e-3).reshape(vectors, len(_PROBES), 2, size)
    scale = (np.array(_PROBES)[:, None, None] / np.sqrt(2.0 * drop)).max(axis=1)
    scale = np.clip(scale, _NARROWEST, _WIDEST)
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
