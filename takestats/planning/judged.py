"""Would the interval of this trial have answered the question?

Trials are judged with the interval that the report will show: the exact grid of
the tray model, many trials at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from takestats.models.batched import BatchedPosterior, batched_posterior, pair_weights
from takestats.models.phi_grid import CELLS, PhiGrid, usual_grid, whole_grid
from takestats.planning.one_arm import one_arm_posterior
from takestats.planning.paired import paired_cells, paired_posterior
from takestats.planning.question import Question

Floats = NDArray[np.floating[Any]]
Flags = NDArray[np.bool_]

_CHUNK = 100
_LOW_TAKE = 0.45
_CELLS_PER_SD = 1.8
_REACH = 10.0
_MANY_TRAYS = 15
_MOST_CELLS = 240
#: Few grafts need few cells; few sorts of grids share their tables.
_COARSE = (56, 72)
_FEW_DISTINCT = 14


@dataclass(frozen=True, eq=False, kw_only=True)
class Verdicts:
    """What the intervals of many trials said.

    Parameters
    ----------
    found : ndarray of bool, shape (trials,)
        The question was answered as hoped for.
    against : ndarray of bool, shape (trials,)
        Told apart the wrong way round.
    width : float
        Median width of the interval.
    """

    found: Flags
    against: Flags
    width: float


def plan_grid(question: Question, trays: int, icc: float) -> PhiGrid:
    """Grid of takes that is fine enough for so many grafts."""
    takes = (*question.takes, question.take_a) if question.kind == "above_floor" else question.takes
    grid = whole_grid() if min(takes) < _LOW_TAKE else usual_grid()
    sizes = question.sizes
    narrow = 0.5 / np.sqrt(trays * max(sizes))
    needed = (grid.high - grid.low) * _CELLS_PER_SD / narrow
    if needed <= grid.cells and not question.within_trays:
        cells = next(cells for cells in (*_COARSE, grid.cells) if cells >= needed)
        return PhiGrid(grid.low, grid.high, cells)
    low, high = grid.low, grid.high
    if trays >= _MANY_TRAYS:
        wide = 0.5 * np.sqrt((1.0 + (min(sizes) - 1) * icc) / (trays * min(sizes)))
        phi = np.arcsin(np.sqrt(np.array(takes)))
        low = max(low, float(phi.min() - _REACH * wide))
        high = min(high, float(phi.max() + _REACH * wide))
    if question.within_trays:
        return PhiGrid(low, high, paired_cells((sizes[0], sizes[1])))
    cells = int(np.ceil((high - low) * _CELLS_PER_SD / narrow))
    return PhiGrid(low, high, min(_MOST_CELLS, max(cells, CELLS // 2)))


@lru_cache(maxsize=64)
def _below_weights(grid: PhiGrid, point: float) -> Floats:
    return pair_weights(grid, (grid.takes - point)[:, None])


def _posterior(
    question: Question, counts: tuple[NDArray[np.int64], ...], grid: PhiGrid
) -> BatchedPosterior:
    sizes = question.sizes
    if question.one_arm:
        return one_arm_posterior(counts[0], sizes[0], grid)
    if question.within_trays:
        return paired_posterior(counts[0], counts[1], sizes, grid)
    return batched_posterior(counts[0], counts[1], sizes[0], sizes[1], grid)


def _take_limits(
    question: Question, posterior: BatchedPosterior, counts: NDArray[np.int64]
) -> Floats:
    """Limits of the only take, as they are shown."""
    limits = posterior.take_limits(0, (question.tail, 1.0 - question.tail))
    limits[np.all(counts == question.tray_size, axis=1), 1] = 1.0
    limits[np.all(counts == 0, axis=1), 0] = 0.0
    return limits


def _judge(
    question: Question, counts: tuple[NDArray[np.int64], ...], grid: PhiGrid
) -> tuple[Flags, Flags]:
    posterior = _posterior(question, counts, grid)
    tail = question.tail
    if question.kind == "estimate":
        limits = _take_limits(question, posterior, counts[0])
        found = 0.5 * (limits[:, 1] - limits[:, 0]) <= question.margin
        return found, np.zeros_like(found)
    if question.kind == "above_floor":
        limits = _take_limits(question, posterior, counts[0])
        return limits[:, 0] > question.take_a, limits[:, 1] < question.take_a
    if question.kind == "no_worse":
        # A is the standard: A minus B above the margin is what must be ruled out.
        under = posterior.below(_below_weights(grid, question.margin))[:, 0]
        return under > 1.0 - tail, under < tail
    under = posterior.below(_below_weights(grid, 0.0))[:, 0]
    up, down = under > 1.0 - tail, under < tail
    return (up, down) if question.take_b >= question.take_a else (down, up)


def _widths(question: Question, counts: tuple[NDArray[np.int64], ...], grid: PhiGrid) -> Floats:
    posterior = _posterior(question, counts, grid)
    if question.one_arm:
        limits = _take_limits(question, posterior, counts[0])
    else:
        limits = posterior.difference_limits((question.tail, 1.0 - question.tail))
    return np.asarray(limits[:, 1] - limits[:, 0])


def _distinct(
    counts: tuple[NDArray[np.int64], ...],
) -> tuple[list[NDArray[np.int64]], NDArray[np.int64]]:
    """Trials that hold the same counts need one fit only."""
    joined = np.concatenate(counts, axis=1)
    rows, back = np.unique(joined, axis=0, return_inverse=True)
    cuts = np.cumsum([item.shape[1] for item in counts])[:-1]
    return np.split(rows, cuts, axis=1), back.reshape(-1).astype(np.int64)


def judged(
    question: Question,
    counts: tuple[NDArray[np.int64], ...],
    icc: float,
    *,
    widths: int = 0,
) -> Verdicts:
    """Judge trials by the interval of the tray model.

    Parameters
    ----------
    question : Question
    counts : tuple of ndarray, each (trials, trays)
        Taken, by arm.
    icc : float
        For the fineness of the grid.
    widths : int
        How many of the trials, spread evenly, give the median width; 0: none.
    """
    trials, trays = counts[0].shape
    grid = plan_grid(question, trays, icc)
    chunk = max(20, int(_CHUNK * CELLS / grid.cells))
    if question.within_trays:
        pairs = counts[0] * (question.sizes[1] + 1) + counts[1]
        pairs.sort(axis=1)
        some: list[NDArray[np.int64]] = list(np.divmod(pairs, question.sizes[1] + 1))
    else:
        some = [np.sort(item, axis=1) for item in counts]
    back: NDArray[np.int64] = np.arange(trials)
    if sum(item.shape[1] for item in some) <= _FEW_DISTINCT:
        some, back = _distinct(tuple(some))
    found, against = [], []
    for start in range(0, some[0].shape[0], chunk):
        part = tuple(item[start : start + chunk] for item in some)
        good, bad = _judge(question, part, grid)
        found.append(good)
        against.append(bad)
    width = float("nan")
    if widths:
        step = max(1, trials // widths)
        chosen = tuple(item[::step] for item in counts)
        width = float(
            np.median(
                np.concatenate(
                    [
                        _widths(question, tuple(i[s : s + chunk] for i in chosen), grid)
                        for s in range(0, chosen[0].shape[0], chunk)
                    ]
                )
            )
        )
    return Verdicts(
        found=np.concatenate(found)[back], against=np.concatenate(against)[back], width=width
    )
