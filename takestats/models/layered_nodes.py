"""At which pairs of spreads are coefficients drawn?

Laplace's evidence on a coarse lattice of (outer, inner) spreads, joined by
monotone cubics and multiplied by the prior; inner spreads stand at equal steps
of their distribution function, outer ones at equal steps given the inner one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.monotone_curve import monotone_curve

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.layered_axes import Axis

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_FINE = 160
_GOLDEN = 0.6180339887498949


@dataclass(frozen=True, eq=False, kw_only=True)
class SpreadNodes:
    """Pairs of spreads to draw at.

    Parameters
    ----------
    outer_q, inner_q : numpy.ndarray
        ``(nodes,)``: square roots of the spreads.
    inner : numpy.ndarray
        ``(nodes,)``: place of each inner spread among ``inner_values``.
    inner_values : numpy.ndarray
        Distinct inner spreads.
    log_ratio : numpy.ndarray
        Log of prior over proposal density, per node.
    """

    outer_q: FloatArray
    inner_q: FloatArray
    inner: IntArray
    inner_values: FloatArray
    log_ratio: FloatArray


def _edges(axis: Axis) -> FloatArray:
    return np.zeros(2) if axis.none else np.linspace(0.0, axis.top, _FINE + 1)


def _middles(axis: Axis) -> FloatArray:
    edges = _edges(axis)
    return np.zeros(1) if axis.none else 0.5 * (edges[1:] + edges[:-1])


def _along(q: FloatArray, values: FloatArray, at: FloatArray, axis: int) -> FloatArray:
    if q.size == 1:
        return np.repeat(values, at.size, axis=axis)
    return monotone_curve(q, values, np.clip(at, q[0], q[-1]), axis)


def density(
    axes: tuple[Axis, Axis], q: tuple[FloatArray, FloatArray], log_evidence: FloatArray
) -> FloatArray:
    """Mass of each fine cell, ``(outer cells, inner cells)``, summing to 1."""
    outer, inner = _middles(axes[0]), _middles(axes[1])
    log_mass = _along(q[1], _along(q[0], log_evidence, outer, 0), inner, 1)
    if not axes[0].none:
        log_mass = log_mass + axes[0].log_prior(outer)[:, None]
    if not axes[1].none:
        log_mass = log_mass + axes[1].log_prior(inner)
    mass = np.exp(log_mass - log_mass.max())
    result: FloatArray = mass / mass.sum()
    return result


def closer(
    axes: tuple[Axis, Axis],
    q: tuple[FloatArray, FloatArray],
    mass: FloatArray,
    least: float = 0.0,
) -> tuple[FloatArray, FloatArray] | None:
    """Values of q closer together where the data know the spreads well, else None.

    They reach ``least`` of the old steps either side at any rate: the width of a peak that
    stands between two values of a coarse lattice is not known yet.
    """
    out = []
    moved = False
    for i, axis in enumerate(axes):
        if axis.none:
            out.append(q[i])
            continue
        share = mass.sum(axis=1 - i)
        middle = _middles(axis)
        mean = float(share @ middle)
        sd = float(np.sqrt(share @ (middle - mean) ** 2))
        if 10.0 * sd < 5.0 * float(q[i][1] - q[i][0]):
            reach = max(5.0 * sd, least * float(q[i][1] - q[i][0]))
            low, high = max(mean - reach, 0.3 * float(q[i][0])), min(mean + reach, axis.top)
            out.append(np.linspace(low, high, q[i].size))
            moved = True
        else:
            out.append(q[i])
    return (out[0], out[1]) if moved else None


def place_nodes(
    axes: tuple[Axis, Axis],
    mass: FloatArray,
    inner_count: int,
    outer_count: int,
) -> SpreadNodes:
    """Stand ``inner_count`` x ``outer_count`` nodes by the mass of the fine cells."""
    outer_edges, inner_edges = _edges(axes[0]), _edges(axes[1])
    inner_mass = mass.sum(axis=0)
    if axes[1].none:
        inner_count, outer_count = 1, inner_count * outer_count
    share = (np.arange(inner_count) + 0.5) / inner_count
    inner_q, inner_cell = _quantile(inner_mass, inner_edges, share)
    steps = np.arange(outer_count)[None, :] + (0.5 + np.arange(inner_count) * _GOLDEN)[:, None] % 1
    steps = steps / outer_count
    outer_q = np.empty((inner_count, outer_count))
    log_q = np.empty((inner_count, outer_count))
    for i in range(inner_count):
        given = mass[:, inner_cell[i]]
        outer_q[i], cell = _quantile(given / given.sum(), outer_edges, steps[i])
        log_q[i] = np.log(given[cell] / given.sum())
    log_q += np.log(inner_mass[inner_cell])[:, None]
    log_prior = np.zeros_like(log_q)
    if not axes[0].none:
        log_q -= np.log(outer_edges[1])
        log_prior += axes[0].log_prior(outer_q)
    if not axes[1].none:
        log_q -= np.log(inner_edges[1])
        log_prior += axes[1].log_prior(inner_q)[:, None]
    return SpreadNodes(
        outer_q=outer_q.ravel(),
        inner_q=np.repeat(inner_q, outer_count),
        inner=np.repeat(np.arange(inner_count), outer_count).astype(np.intp),
        inner_values=inner_q**2,
        log_ratio=(log_prior - log_q).ravel(),
    )


def _quantile(
    mass: FloatArray, edges: FloatArray, share: FloatArray
) -> tuple[FloatArray, IntArray]:
    below = np.concatenate([[0.0], np.cumsum(mass)])
    below /= below[-1]
    cell = np.clip(np.searchsorted(below, share, side="right") - 1, 0, mass.size - 1)
    inside = (share - below[cell]) / np.maximum(below[cell + 1] - below[cell], 1e-300)
    width = edges[cell + 1] - edges[cell]
    q = edges[cell] + np.clip(inside, 0.0, 1.0) * width
    return q, cell.astype(np.intp)
