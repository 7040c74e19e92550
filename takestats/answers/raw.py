"""What was counted, before any model? Raw counts and rates of a level's own trays."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.models.quick import QuickRates, quick_rates


def counted(lines: DataFrame) -> dict[str, Any]:
    """Counts of some lines: trays, grafts, grafted, missing, understock_dead, taken."""
    grafted = float(lines["grafted"].sum())
    missing = float(lines["missing"].sum(min_count=1))
    dead = float(lines["understock_dead"].sum(min_count=1))
    taken = float(lines["taken"].sum())
    made = grafted - (0.0 if math.isnan(missing) else missing)
    live = made - dead
    return {
        "trays": int(lines["tray_id"].nunique()),
        "grafts": float(lines["tried"].sum()),
        "grafted": grafted,
        "missing": missing,
        "understock_dead": dead,
        "taken": taken,
        "raw_rate": taken / made if made > 0 else math.nan,
        "raw_rate_live": taken / live if live > 0 else math.nan,
    }


def quick_of(groups: list[DataFrame], *, trays_recorded: bool) -> QuickRates:
    """Quick form of several groups of lines; no dispersion where no trays were recorded."""
    taken = np.concatenate([g["taken"].to_numpy(dtype=float) for g in groups])
    tried = np.concatenate([g["tried"].to_numpy(dtype=float) for g in groups])
    codes = np.repeat(np.arange(len(groups)), [len(g) for g in groups])
    rates = quick_rates(taken, tried, codes)
    if trays_recorded:
        return rates
    return QuickRates(
        taken=rates.taken,
        tried=rates.tried,
        trays=rates.trays,
        dispersion=1.0,
        raw_dispersion=1.0,
        df=1e6,
    )


def all_or_none(lines: DataFrame) -> str:
    """Say whether every graft of these lines took, or none did: "all", "none" or ""."""
    taken, tried = float(lines["taken"].sum()), float(lines["tried"].sum())
    if taken >= tried:
        return "all"
    return "none" if taken <= 0.0 else ""
