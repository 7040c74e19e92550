"""The trials that are timed: invented trays, fixed seeds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

_METHODS = ("cleft", "side veneer", "whip-and-tongue", "splice")
_SCIONS = ("terminal", "sub_terminal")
_GRAFTERS = ("AB", "CD")
_SPREAD = 0.06


@dataclass(frozen=True)
class Design:
    """What is compared in a timed trial.

    Parameters
    ----------
    name : str
        Said in the table.
    trays : int
    factors : tuple of (str, tuple of str)
        Columns and their levels.
    straight, curved : tuple of str
        Columns of numbers of five values (a straight line) or of many (a curve).
    sizes : tuple of int
        Least and most grafts of a tray.
    """

    name: str
    trays: int
    factors: tuple[tuple[str, tuple[str, ...]], ...]
    straight: tuple[str, ...] = ()
    curved: tuple[str, ...] = ()
    sizes: tuple[int, int] = (15, 40)

    @property
    def curves(self) -> tuple[str, ...]:
        """All columns of numbers."""
        return self.straight + self.curved


ONE_FACTOR = Design("40 trays, one factor", 40, (("method", _METHODS[:2]),))
FIVE = Design(
    "24 trays, 5 coefficients",
    24,
    (("method", _METHODS[:2]), ("scion_wood", _SCIONS)),
    straight=("understock_caliper_mm", "scion_caliper_mm"),
)
EIGHT = Design(
    "300 trays, 8 coefficients",
    300,
    (("method", _METHODS[:3]), ("scion_wood", _SCIONS), ("grafter", _GRAFTERS)),
    curved=("understock_caliper_mm",),
)
TEN = Design(
    "2,000 trays, 10 coefficients",
    2000,
    (("method", _METHODS), ("scion_wood", _SCIONS), ("grafter", _GRAFTERS)),
    straight=("scion_caliper_mm",),
    curved=("understock_caliper_mm",),
)
MANY = Design("20,000 trays, one factor", 20_000, (("method", _METHODS[:2]),), sizes=(12, 40))
ALL = (ONE_FACTOR, FIVE, EIGHT, TEN, MANY)


def frame_of(design: Design, seed: int = 20_261) -> pd.DataFrame:
    """Draw the trays: takes of 80 to 97 %, trays that differ beyond chance."""
    rng = np.random.default_rng(seed)
    number = design.trays
    table: dict[str, object] = {
        "season": ["2025-26"] * number,
        "tray": [f"T{i + 1:05d}" for i in range(number)],
    }
    log_odds = np.full(number, 1.9)
    for column, levels in design.factors:
        at = rng.permutation(np.arange(number) % len(levels))
        table[column] = [levels[i] for i in at]
        log_odds += np.linspace(0.0, 0.8, len(levels))[at]
    for column in design.straight:
        values = rng.choice([5.0, 6.0, 7.0, 8.0, 9.0], number)
        table[column] = values
        log_odds += 0.15 * (values - 7.0)
    for column in design.curved:
        values = np.round(rng.normal(7.0, 1.3, number).clip(3.5, 10.5), 1)
        table[column] = values
        log_odds -= 0.15 * (values - 7.2) ** 2
    take = special.expit(log_odds)
    shape = (1.0 - _SPREAD) / _SPREAD
    sizes = rng.integers(design.sizes[0], design.sizes[1] + 1, number)
    table["grafted"] = sizes
    table["taken"] = rng.binomial(sizes, rng.beta(take * shape, (1.0 - take) * shape))
    table["count_date"] = ["2026-06-15"] * number
    return pd.DataFrame(table)


def design_matrix(
    frame: pd.DataFrame, design: Design, curve_columns: Sequence[NDArray[np.float64]] = ()
) -> NDArray[np.float64]:
    """Give the peers the same columns; numbers standardised and those of curves made orthogonal.

    The same model, in the form that is easiest to fit: no peer is asked to rescale.
    """
    columns: list[NDArray[np.float64]] = [np.ones(len(frame))]
    for column, levels in design.factors:
        columns += [np.asarray(frame[column] == level, dtype=float) for level in levels[1:]]
    numbers = [frame[column].to_numpy(dtype=float) for column in design.straight]
    columns += [(values - values.mean()) / values.std() for values in numbers]
    if curve_columns:
        bends = np.column_stack(curve_columns)
        orthogonal, _ = np.linalg.qr(bends - bends.mean(axis=0))
        columns += list(orthogonal.T * np.sqrt(len(frame)))
    return np.column_stack(columns)
