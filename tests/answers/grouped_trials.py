"""Small invented trials with combinations and seasons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from takestats.models.fit import fit_take
from takestats.models.take_model import TakeModel
from takestats.records.read import records_from_frame
from takestats.records.result import Records

UNDERSTOCK = "Hamamelis virginiana"
SCIONS = (
    "Hamamelis x intermedia 'Copper Moth'",
    "Hamamelis x intermedia 'Last Lamp'",
    "Hamamelis mollis 'Slow Bell'",
    "Hamamelis virginiana 'Late Hour'",
    "Hamamelis japonica 'Thin Ice'",
    "Hamamelis vernalis 'Red Ember'",
)


def seasons_frame(
    combinations: int = 5, seasons: int = 3, trays: int = 4, seed: int = 6
) -> pd.DataFrame:
    """Combinations made in several seasons, trays of 30."""
    rng = np.random.default_rng(seed)
    rows: list[dict[str, Any]] = []
    for scion in SCIONS[:combinations]:
        middle = 2.0 + 0.5 * rng.standard_normal()
        for season in range(seasons):
            theta = middle + 0.4 * rng.standard_normal()
            take = 1.0 / (1.0 + np.exp(-theta))
            for tray in range(trays):
                rows.append(
                    {
                        "season": f"{2022 + season}-{23 + season}",
                        "tray": f"{len(rows) + 1:03d}",
                        "scion": scion,
                        "understock": UNDERSTOCK,
                        "bench": "north" if tray % 2 else "south",
                        "grafted": 30,
                        "taken": int(rng.binomial(30, rng.beta(19 * take, 19 * (1 - take)))),
                        "count_date": f"{2023 + season}-06-15",
                    }
                )
    return pd.DataFrame(rows)


def seasons_records(**sizes: int) -> Records:
    """Records of :func:`seasons_frame`."""
    return records_from_frame(seasons_frame(**sizes))


def donors_frame(taken: Sequence[Sequence[int]], size: int = 40) -> pd.DataFrame:
    """One season, one list of counts for each donor plant."""
    rows = [
        {
            "season": "2025-26",
            "tray": f"{donor}{tray}",
            "donor": f"donor {donor + 1}",
            "grafted": size,
            "taken": count,
            "count_date": "2026-06-15",
        }
        for donor, counts in enumerate(taken)
        for tray, count in enumerate(counts)
    ]
    return pd.DataFrame(rows)


def grouped_model(records: Records, grouping: str) -> TakeModel:
    """A model with one grouping and no other column."""
    return fit_take(records, [], grouping=grouping)
