"""Invented past seasons for the tests: known takes, known spread, fixed seed."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

import takestats as ts

NAMES = {
    "copper": "Hamamelis x intermedia 'Copper Moth'",
    "wren": "Hamamelis x intermedia 'Saffron Wren'",
    "amber": "Hamamelis mollis 'Amber Mill'",
    "lamp": "Hamamelis japonica 'Lamp'",
    "stock": "Hamamelis virginiana",
}


def bench(scions: tuple[str, ...], seasons: int = 2, trays: int = 6) -> pd.DataFrame:
    rng = np.random.default_rng(5)
    rows = []
    for index, scion in enumerate(scions):
        for season in range(seasons):
            for tray in range(trays):
                take = rng.beta(0.86 * 9, 0.14 * 9)
                rows.append(
                    {
                        "season": str(2024 + season),
                        "tray": f"{scion[0]}{index}{tray:02d}",
                        "scion": scion,
                        "understock": "stock",
                        "grafted": 24,
                        "taken": int(rng.binomial(24, take)),
                        "count_date": f"{2024 + season}-06-15",
                    }
                )
    return pd.DataFrame(rows)


def past(scions: tuple[str, ...] = ("copper", "wren", "lamp"), **settings: Any) -> ts.Records:
    trial: dict[str, Any] = {"names": NAMES, "invented": True, "seed": 5, "truth": "this file"}
    return ts.records_from_frame(bench(scions), trial=trial | settings)
