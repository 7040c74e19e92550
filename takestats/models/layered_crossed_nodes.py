"""At which triples of spreads are coefficients drawn where two groupings cross?

Laplace's evidence on a lattice of the three SDs, once more closer together where the
data know them well; nodes at equal steps of each distribution function given those
before.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takestats.models.layered_axes import Axis
from takestats.models.layered_crossed import CrossedModel, CrossedStand
from takestats.models.layered_draws import starting_point

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.models.sampled_modes import Modes

    FloatArray = NDArray[np.float64]

_SCANNED = 6
_FINE = 25
_COUNTS = (8, 16, 4)
_GOLDEN = 0.6180339887498949
_SDS = 5.0
_CLOSER = 5.0


def stand_on_nodes(
    model: CrossedModel, scales: tuple[float, float, float]
) -> tuple[CrossedStand, FloatArray]:
    """Peaks at triples of spreads that Laplace's evidence favours; log prior over proposal.

    Parameters
    ----------
    model : CrossedModel
    scales : tuple of float
        Half-normal scales of the SDs of both groupings and of trays.
    """
    axes = [Axis(scale=scale) for scale in scales]
    q = [axis.scan(_SCANNED) for axis in axes]
    start = np.repeat(starting_point(model.rows)[None, :], _SCANNED**3, axis=0)
    scanned = model.stand(_lattice(q) ** 2, start).modes
    edges = [_edges(axis, at) for axis, at in zip(axes, q, strict=True)]
    mass = _mass(axes, q, edges, scanned)
    closer = [_closer(q[i], edges[i], mass, i) for i in range(3)]
    if any(new is not old for new, old in zip(closer, q, strict=True)):
        start = scanned.at[_nearest(_lattice(closer), q)]
        q = closer
        scanned = model.stand(_lattice(q) ** 2, start).modes
        edges = [_edges(axis, at) for axis, at in zip(axes, q, strict=True)]
        mass = _mass(axes, q, edges, scanned)
    # Trays first, then the second grouping, then the first.
    nodes, log_density = _nested(np.transpose(mass, (2, 1, 0)), edges[::-1], _COUNTS)
    nodes = nodes[:, ::-1]
    log_ratio = -log_density
    for i, axis in enumerate(axes):
        log_ratio = log_ratio + axis.log_prior(nodes[:, i])
    return model.stand(nodes**2, scanned.at[_nearest(nodes, q)]), log_ratio


def _edges(axis: Axis, q: FloatArray) -> FloatArray:
    """Edges of the fine cells: over all of the axis, and closer together where it is scanned."""
    return np.unique(
        np.concatenate([np.linspace(0.0, axis.top, _FINE), np.linspace(q[0], q[-1], _FINE)])
    )


def _lattice(q: list[FloatArray]) -> FloatArray:
    return np.stack(np.meshgrid(*q, indexing="ij"), axis=-1).reshape(-1, 3)


def _nearest(points: FloatArray, q: list[FloatArray]) -> NDArray[np.intp]:
    near = [np.abs(points[:, i, None] - q[i]).argmin(axis=1) for i in range(3)]
    return np.asarray((near[0] * _SCANNED + near[1]) * _SCANNED + near[2], dtype=np.intp)


def _mass(
    axes: list[Axis], q: list[FloatArray], edges: list[FloatArray], scanned: Modes
) -> FloatArray:
    """Mass of each fine cell, up to a constant."""
    middle = [0.5 * (edge[1:] + edge[:-1]) for edge in edges]
    inside = [np.clip(at, values[0], values[-1]) for at, values in zip(middle, q, strict=True)]
    from scipy.interpolate import RegularGridInterpolator  # slow to load, and seldom needed

    curve = RegularGridInterpolator(tuple(q), scanned.log_evidence.reshape((_SCANNED,) * 3))
    log_mass = curve(np.stack(np.meshgrid(*inside, indexing="ij"), axis=-1))
    for i, axis in enumerate(axes):
        shape = [1, 1, 1]
        shape[i] = middle[i].size
        log_mass = log_mass + (axis.log_prior(middle[i]) + np.log(np.diff(edges[i]))).reshape(shape)
    result: FloatArray = np.exp(log_mass - log_mass.max())
    return result


def _closer(q: FloatArray, edges: FloatArray, mass: FloatArray, side: int) -> FloatArray:
    """Values closer together where the data know this spread well, else the same."""
    share = mass.sum(axis=tuple(i for i in range(3) if i != side))
    share = share / share.sum()
    middle = 0.5 * (edges[1:] + edges[:-1])
    mean = float(share @ middle)
    sd = float(np.sqrt(share @ (middle - mean) ** 2))
    if 2.0 * _SDS * sd >= _CLOSER * float(q[1] - q[0]):
        return q
    return np.linspace(max(mean - _SDS * sd, 0.3 * float(q[0])), mean + _SDS * sd, _SCANNED)


def _nested(
    mass: FloatArray, edges: list[FloatArray], counts: tuple[int, ...]
) -> tuple[FloatArray, FloatArray]:
    """Points at equal steps of each distribution function given those before; their log density."""
    found: list[tuple[list[float], float, tuple[int, ...]]] = [([], 0.0, ())]
    for edge, count in zip(edges, counts, strict=True):
        deeper: list[tuple[list[float], float, tuple[int, ...]]] = []
        for i, (values, share, cell) in enumerate(found):
            given = mass[cell]
            along = given.reshape(given.shape[0], -1).sum(axis=1)
            along = along / along.sum()
            below = np.concatenate([[0.0], np.cumsum(along)])
            want = (np.arange(count) + (0.5 + i * _GOLDEN) % 1.0) / count
            at = np.clip(np.searchsorted(below, want, side="right") - 1, 0, along.size - 1)
            inside = (want - below[at]) / np.maximum(below[at + 1] - below[at], 1e-300)
            width = edge[at + 1] - edge[at]
            q = edge[at] + np.clip(inside, 0.0, 1.0) * width
            deeper.extend(
                (
                    [*values, float(q[j])],
                    share + float(np.log(along[k] / width[j])),
                    (*cell, int(k)),
                )
                for j, k in enumerate(at)
            )
        found = deeper
    return np.array([values for values, _, _ in found]), np.array([share for _, share, _ in found])
