"""What was counted, before any model? Raw counts and rates of a level's own trays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from takestats.models.line_arrays import LineArrays
from takestats.models.quick import QuickRates, quick_rates

Mask = NDArray[np.bool_]


def _recorded_sum(values: NDArray[np.float64]) -> float:
    """Sum of what was recorded; nan where nothing was."""
    return math.nan if np.all(np.isnan(values)) else float(np.nansum(values))


def counted(arrays: LineArrays, mask: Mask, *, trays_recorded: bool) -> dict[str, Any]:
    """Counts of some lines: trays, grafts, grafted, missing, understock_dead, taken.

    Trays are nan where none were recorded.
    """
    grafted = float(arrays.grafted[mask].sum())
    missing = _recorded_sum(arrays.missing[mask])
    dead = _recorded_sum(arrays.understock_dead[mask])
    taken = float(arrays.taken[mask].sum())
    made = grafted - (0.0 if math.isnan(missing) else missing)
    live = made - dead
    return {
        "trays": arrays.trays(mask) if trays_recorded else math.nan,
        "grafts": float(arrays.tried[mask].sum()),
        "grafted": grafted,
        "missing": missing,
        "understock_dead": dead,
        "taken": taken,
        "raw_rate": taken / made if made > 0 else math.nan,
        "raw_rate_live": taken / live if live > 0 else math.nan,
    }


def quick_of(arrays: LineArrays, groups: Sequence[Mask], *, trays_recorded: bool) -> QuickRates:
    """Quick form of several groups of lines; no dispersion where no trays were recorded."""
    where = [np.flatnonzero(mask) for mask in groups]
    rows = np.concatenate(where)
    codes = np.repeat(np.arange(len(groups)), [item.size for item in where])
    rates = quick_rates(arrays.taken[rows], arrays.tried[rows], codes)
    return rates if trays_recorded else rates.as_if_independent()


def all_or_none(arrays: LineArrays, mask: Mask) -> str:
    """Say whether every graft of these lines took, or none did: "all", "none" or ""."""
    taken, tried = float(arrays.taken[mask].sum()), float(arrays.tried[mask].sum())
    if taken >= tried:
        return "all"
    return "none" if taken <= 0.0 else ""
