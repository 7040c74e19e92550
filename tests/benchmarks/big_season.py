"""A season of 25,000 grafts, invented, to time a whole report on."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pandas as pd

SEED = 25_000
TRAYS, TRAY_SIZE, DAYS = 833, 30, 56
_GENERA = ("Hamamelis", "Carpinus", "Fagus", "Cornus", "Acer")
FACTORS = ("method", "scion_wood", "union_height_mm", "caliper_class", "combination")
SETTINGS = f"""title = "A season of 25,000 grafts, for timing"
invented = true
seed = {SEED}
truth = "tests/benchmarks/big_season.py"

[compare]
factors = [{", ".join(f'"{name}"' for name in FACTORS)}]
"""


def write_season(folder: Path) -> tuple[Path, Path]:
    """Write the records and their settings: 60 combinations, 56 days, benches with places."""
    rng = np.random.default_rng(SEED)
    pairs = [
        (f"{genus} {kind} 'Clone {g}{s}{c}'", f"{genus} {('prima', 'tertia')[c % 2]}")
        for g, genus in enumerate(_GENERA)
        for s, kind in enumerate(("prima", "secunda"))
        for c in range(6)
    ]
    of_pair, of_day = rng.normal(0, 0.5, len(pairs)), rng.normal(0, 0.2, DAYS)
    rows = []
    for tray in range(TRAYS):
        day = tray * DAYS // TRAYS
        pair = int(rng.integers(len(pairs)))
        cleft, sub, high, thin = rng.random(4) < (0.5, 0.35, 0.5, 0.5)
        odds = 2.5 + of_pair[pair] + of_day[day] - 0.6 * cleft - 0.3 * sub + rng.normal(0, 0.5)
        missing = int(rng.random() < 0.1)
        taken = min(int(rng.binomial(TRAY_SIZE, 1 / (1 + np.exp(-odds)))), TRAY_SIZE - missing)
        date = dt.date(2026, 1, 5) + dt.timedelta(days=7 * (day // 5) + day % 5)
        rows.append(
            {
                "season": "2025-26",
                "bench": f"bench {day % 6}",
                "position": f"{'ABCDEFGH'[tray % 8]}{tray // 8 % 20 + 1}",
                "tray": f"T{tray:04d}",
                "tray_size": TRAY_SIZE,
                "scion": pairs[pair][0],
                "understock": pairs[pair][1],
                "method": "cleft" if cleft else "side veneer",
                "scion_wood": "sub_terminal" if sub else "terminal",
                "union_height_mm": "high" if high else "low",
                "caliper_class": "thin" if thin else "stout",
                "graft_date": date.isoformat(),
                "grafter": ("AB", "JT", "MO")[tray % 3],
                "grafted": TRAY_SIZE,
                "taken": taken,
                "understock_dead": min(1, TRAY_SIZE - missing - taken),
                "missing": missing,
                "count": "settled",
                "count_date": "2026-06-16",
                "saleable": int(rng.binomial(taken, 0.9)),
                "saleable_date": "2026-10-01",
            }
        )
    folder.mkdir(parents=True, exist_ok=True)
    records, settings = folder / "season.csv", folder / "trial.toml"
    pd.DataFrame(rows).to_csv(records, index=False)
    settings.write_text(SETTINGS, encoding="utf-8")
    return records, settings
