"""Small invented records for the tests of pages; every number typed here, none drawn."""

from __future__ import annotations

import pandas as pd

from takestats.records.read import records_from_frame
from takestats.records.result import Records

SETTINGS = {
    "title": "Cleft or side veneer",
    "invented": True,
    "seed": 1,
    "truth": "nowhere: the counts were typed by hand",
    "trial": {"standard": "cleft", "randomised": "tray"},
    "compare": {"factors": ["method", "scion_wood"]},
}
_TAKEN = {
    ("cleft", "terminal"): (24, 27, 25, 26),
    ("cleft", "sub_terminal"): (21, 25, 22, 24),
    ("side veneer", "terminal"): (29, 30, 28, 29),
    ("side veneer", "sub_terminal"): (28, 27, 29, 11),
}


def rows() -> list[dict[str, object]]:
    """Two methods by two woods, four trays each, a season before, a tray not counted."""
    made: list[dict[str, object]] = []
    for (method, wood), counts in _TAKEN.items():
        for taken in counts:
            made.append(_row("2026", f"T{len(made) + 1:02d}", method, wood, taken))
    made.append({**_row("2026", "T17", "cleft", "terminal", None), "count_date": None})
    for index, (method, taken) in enumerate(
        [("cleft", 22), ("cleft", 20), ("side veneer", 27), ("side veneer", 26)]
    ):
        made.append(_row("2025", f"S{index + 1:02d}", method, "terminal", taken))
    return made


def _row(season: str, tray: str, method: str, wood: str, taken: int | None) -> dict[str, object]:
    return {
        "season": season,
        "tray": tray,
        "method": method,
        "scion_wood": wood,
        "scion": "Hamamelis × intermedia 'Copper Moth'",
        "understock": "Hamamelis virginiana",
        "grafted": 31,
        "missing": 1,
        "understock_dead": 1 if taken is not None and taken < 30 else 0,
        "taken": taken,
        "count_date": f"{season}-06-16",
    }


def small_records(settings: dict[str, object] | None = None, **changes: object) -> Records:
    """The small records, with columns changed for every row."""
    frame = pd.DataFrame(rows()).assign(**changes)
    return records_from_frame(frame, trial=SETTINGS if settings is None else settings)
