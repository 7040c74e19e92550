"""What was counted, before any model? Raw counts and rates of a level's own trays."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from takestats.models.line_arrays import LineArrays
from takestats.models.lines import make_lines
from takestats.models.quick import QuickRates, quick_rates

if TYPE_CHECKING:
    from takestats.records.result import Records

Mask = NDArray[np.bool_]


def recorded_sum(values: NDArray[np.float64]) -> float:
    """Sum of what was recorded; nan where nothing was."""
    return math.nan if np.all(np.isnan(values)) else float(np.nansum(values))


def counted(arrays: LineArrays, mask: Mask, *, trays_recorded: bool) -> dict[str, Any]:
    """Counts of some lines: trays, grafts, grafted, missing, understock_dead, taken.

    Trays are nan where none were recorded.
    """
    grafted = float(arrays.grafted[mask].sum())
    missing = recorded_sum(arrays.missing[mask])
    dead = recorded_sum(arrays.understock_dead[mask])
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


class RawLevel(NamedTuple):
    """The raw take of one level with its quick limits, and what was counted."""

    key: tuple[Any, ...]
    rate: float
    low: float
    high: float
    counts: dict[str, Any]


def raw_levels(
    records: Records,
    columns: Sequence[str],
    *,
    season: str,
    count: str | None,
    out_of: str,
    level: float,
) -> list[RawLevel]:
    """Raw take of each level of some columns in one season, in the order of the records.

    Parameters
    ----------
    records : Records
    columns : sequence of str
        None of them: all lines are one level.
    season, count, out_of
        As for :func:`takestats.fit_take`.
    level : float
        Confidence level of the quick limits, one dispersion for all.
    """
    by = list(columns)
    lines = make_lines(records, by, season=season, count=count, out_of=out_of).table
    arrays = LineArrays.of(lines, by, by)
    keys = list(dict.fromkeys(arrays.patterns(by)))
    groups = [arrays.mask(by, key) for key in keys]
    trays = not records.no_trays
    quick = quick_of(arrays, groups, trays_recorded=trays)
    return [
        RawLevel(key, *quick.limits(i, level), counted(arrays, group, trays_recorded=trays))
        for i, (key, group) in enumerate(zip(keys, groups, strict=True))
    ]


def all_or_none(arrays: LineArrays, mask: Mask) -> str:
    """Say whether every graft of these lines took, or none did: "all", "none" or ""."""
    taken, tried = float(arrays.taken[mask].sum()), float(arrays.tried[mask].sum())
    if taken >= tried:
        return "all"
    return "none" if taken <= 0.0 else ""
