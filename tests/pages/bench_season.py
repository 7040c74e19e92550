"""An invented season with calipers, dates, seal and hands, and its known truth."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import numpy as np
import pandas as pd

from takestats.pages.asked import asked
from takestats.pages.gather import gather, newest_season
from takestats.pages.gathered import Gathered
from takestats.records.read import records_from_frame
from takestats.records.result import Records

SETTINGS: dict[str, object] = {
    "title": "Calipers",
    "invented": True,
    "seed": 13,
    "truth": "tests/pages/bench_season.py",
    "trial": {"standard": "cleft", "randomised": "tray"},
    "compare": {"factors": ["method"]},
}
BEST_MM = 8.5
BEND = 0.30
"""Log odds lost a squared millimetre away from the best caliper."""
SEAL = 0.9
"""Log odds that a sealed union gains."""


def log_odds(method: object, caliper: object, sealed: object) -> np.ndarray:
    """The known truth of a tray."""
    cleft = np.asarray(method) == "cleft"
    away = np.asarray(caliper, dtype=float) - BEST_MM
    return 2.0 - 0.6 * cleft - BEND * away**2 + SEAL * (np.asarray(sealed) == "yes") - SEAL / 2


def season(trays: int = 48, seed: int = 13) -> pd.DataFrame:
    """Trays of 40 grafts; each tray's take spread about its truth with correlation 0.02."""
    rng = np.random.default_rng(seed)
    at = np.arange(trays)
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": [f"T{i:03d}" for i in at],
            "method": np.where(at % 2 == 0, "cleft", "side veneer"),
            "sealed": np.where(at // 2 % 2 == 0, "yes", "no"),
            "understock_caliper_mm": rng.uniform(6.0, 11.0, trays).round(1),
            "graft_date": [
                str(day)[:10]
                for day in pd.Timestamp("2026-01-05") + pd.to_timedelta(at // 3 * 2, unit="D")
            ],
            "grafter": [["KL", "RS", "WX"][i] for i in rng.integers(0, 3, trays)],
            "scion": "Hamamelis × intermedia 'Copper Moth'",
            "understock": "Hamamelis virginiana",
            "grafted": 40,
            "count_date": "2026-06-16",
        }
    )
    take = 1 / (
        1 + np.exp(-log_odds(frame["method"], frame["understock_caliper_mm"], frame["sealed"]))
    )
    own = rng.beta(take * 49, (1 - take) * 49)
    return frame.assign(taken=rng.binomial(40, own))


def _records(
    frame: pd.DataFrame, compare: dict[str, object], trial: dict[str, object] | None = None
) -> Records:
    settings = {**(trial or SETTINGS), "compare": {"factors": ["method"], **compare}}
    return records_from_frame(frame, trial=settings)


def gathered(frame: pd.DataFrame, **compare: object) -> Gathered:
    """The answers of a page of these records."""
    records = _records(frame, compare)
    return gather(records, asked(records.trial).factors, say=silent)


def unfitted(
    frame: pd.DataFrame, trial: dict[str, object] | None = None, **compare: object
) -> Gathered:
    """What a topic reads of a page before its own fits, without the page's own fits."""
    records = _records(frame, compare, trial)
    season, here = newest_season(records.trays)
    read = SimpleNamespace(
        records=records,
        season=season,
        trays=here[here["counted"].astype(bool)],
        asked=asked(records.trial),
        main="method",
        chosen=SimpleNamespace(factors=("method",)),
        rates={"method": None},
        gaps={},
        model=SimpleNamespace(count="settled", count_dates=("2026-06-16",), notes=()),
    )
    return cast("Gathered", read)


def silent(step: str) -> None:
    """Say nothing."""
