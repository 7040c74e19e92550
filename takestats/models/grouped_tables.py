"""How likely are the trays of each group, wherever the middle tray of the group lies?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.grid import LevelTrays
from takestats.models.grouped_scale import LogitGrid, layer
from takestats.models.likelihoods import beta_binomial_logs, log_choose
from takestats.models.spread import Family

Floats = NDArray[np.float64]

_FLOOR = 1e-300
_BEYOND = 9.0
_MOST_BESIDE = 700
_CELLS_A_WIDTH = 0.75
_COARSEST, _FINEST = 0.25, 0.25 / 2**7
_MOST_ROWS = 4096


@dataclass(frozen=True, eq=False, kw_only=True)
class GroupTable:
    """Likelihood of the trays of each group for one spread.

    Parameters
    ----------
    value : ndarray of shape (groups, cells)
        Highest value of each group 1.
    log_top : ndarray of shape (groups,)
        Log of what it was divided by.
    """

    value: Floats
    log_top: Floats


def logit_grid(groups: Sequence[LevelTrays]) -> LogitGrid:
    """Find a grid that the sharpest group still shows on, well beyond every group's take."""
    taken = np.array([float(trays.taken @ trays.times) for trays in groups])
    tried = np.array([float(trays.tried @ trays.times) for trays in groups])
    logits = np.log((taken + 0.5) / (tried - taken + 0.5))
    share = (taken + 0.5) / (tried + 1.0)
    error = np.sqrt(share * (1.0 - share) / tried)
    nearest = np.clip(0.5, share - 2.0 * error, share + 2.0 * error)
    width = 1.0 / np.sqrt(np.max(tried * nearest * (1.0 - nearest)))
    step = _COARSEST
    while step > _CELLS_A_WIDTH * width and step > _FINEST:
        step /= np.sqrt(2.0)
    # Matrices of that many cells squared are kept: with very many grafts, less far beyond.
    beyond = min(_BEYOND, _MOST_BESIDE * step)
    low, high = float(logits.min()) - beyond, float(logits.max()) + beyond
    # Whole units, so that like records share the matrices that were worked out.
    first, last = int(np.floor(low) / step), int(np.ceil(high) / step)
    return LogitGrid(first, last - first + 1, step)


class GroupTables:
    """The tables of some groups, each spread worked out once for a grid.

    Parameters
    ----------
    groups : sequence of LevelTrays
    """

    def __init__(self, groups: Sequence[LevelTrays]) -> None:
        counts = np.concatenate([np.column_stack([t.taken, t.tried]) for t in groups])
        times = np.concatenate([t.times for t in groups])
        owner = np.repeat(np.arange(len(groups)), [t.times.size for t in groups])
        distinct, at = np.unique(counts, axis=0, return_inverse=True)
        self._k, self._n = distinct[:, 0], distinct[:, 1]
        self._times = np.zeros((len(groups), distinct.shape[0]))
        np.add.at(self._times, (owner, at.reshape(-1)), times)
        self._known: dict[tuple[LogitGrid, Family, float], GroupTable] = {}

    def table(self, grid: LogitGrid, family: Family, spread: float) -> GroupTable:
        """Likelihood of every group's trays at this spread."""
        key = (grid, family, spread)
        if key not in self._known:
            logs = np.zeros((self._times.shape[0], grid.size))
            for start in range(0, self._k.size, _MOST_ROWS):
                part = slice(start, start + _MOST_ROWS)
                logs += self._times[:, part] @ self._tray_logs(grid, family, spread, part)
            top = logs.max(axis=1)
            self._known[key] = GroupTable(value=np.exp(logs - top[:, None]), log_top=top)
        return self._known[key]

    def _tray_logs(self, grid: LogitGrid, family: Family, spread: float, part: slice) -> Floats:
        k, n = self._k[part], self._n[part]
        theta = grid.middles
        if family == "beta_binomial":
            takes, fails = special.expit(theta), special.expit(-theta)
            return beta_binomial_logs(k, n, np.array([spread]), takes, fails)[:, 0]
        curve = -k[:, None] * np.logaddexp(0.0, -theta)
        curve -= (n - k)[:, None] * np.logaddexp(0.0, theta)
        curve += log_choose(k, n)[:, None]
        if family == "binomial":
            return curve
        top = curve.max(axis=1, keepdims=True)
        value = np.exp(curve - top) @ layer(grid, spread, 0, grid.size)
        return np.asarray(np.log(np.maximum(value, _FLOOR)) + top)
