"""The lines of a fit as plain arrays: what answers count and average over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.models.belief import Pattern

Mask = NDArray[np.bool_] | slice


def _floats(table: DataFrame, name: str) -> NDArray[np.float64]:
    return np.asarray(table[name].to_numpy(dtype=float, na_value=np.nan))


@dataclass(frozen=True, eq=False, kw_only=True)
class LineArrays:
    """One entry per line.

    Parameters
    ----------
    columns : dict of str to ndarray
        The fitted columns: levels as text, numbers on curves.
    tray, season : ndarray of int
        Which tray, which season (in order of their names).
    taken, tried, grafted, missing, understock_dead : ndarray of float
    """

    columns: dict[str, NDArray[Any]]
    tray: NDArray[np.int64]
    season: NDArray[np.int64]
    taken: NDArray[np.float64]
    tried: NDArray[np.float64]
    grafted: NDArray[np.float64]
    missing: NDArray[np.float64]
    understock_dead: NDArray[np.float64]

    @classmethod
    def of(cls, table: DataFrame, columns: Sequence[str], factors: Sequence[str]) -> LineArrays:
        """Take the arrays from the lines' table."""
        kept: dict[str, NDArray[Any]] = {}
        for name in columns:
            values = table[name].to_numpy()
            kept[name] = (
                np.array([str(v) for v in values], dtype=object)
                if name in factors
                else values.astype(float)
            )
        _, tray = np.unique(table["tray_id"].to_numpy().astype(str), return_inverse=True)
        _, season = np.unique(table["season"].astype(str).to_numpy(str), return_inverse=True)
        return cls(
            columns=kept,
            tray=tray,
            season=season,
            **{
                name: _floats(table, name)
                for name in ("taken", "tried", "grafted", "missing", "understock_dead")
            },
        )

    def mask(self, columns: Sequence[str], levels: Sequence[object]) -> NDArray[np.bool_]:
        """Which lines have these levels."""
        keep = np.ones(self.tray.size, dtype=bool)
        for name, level in zip(columns, levels, strict=True):
            keep &= self.columns[name] == level
        return keep

    def patterns(self, columns: Sequence[str]) -> list[Pattern]:
        """The values of some columns, a tuple per line."""
        if not columns:
            return [()] * self.tray.size
        return list(zip(*(self.columns[name].tolist() for name in columns), strict=True))

    def trays(self, mask: Mask) -> int:
        """How many trays."""
        return int(np.unique(self.tray[mask]).size)
