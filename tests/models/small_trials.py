"""Small invented trials for the tests of models and answers; every number typed here."""

from __future__ import annotations

import pickle
from collections.abc import Mapping, Sequence

import pandas as pd

from takestats.records.read import records_from_frame
from takestats.records.result import Records

Tray = tuple[int, int]
"""Taken, grafted."""


def bench(
    levels: Mapping[str, Sequence[Tray]], column: str = "method", **more: object
) -> pd.DataFrame:
    """One row per tray; trays are numbered through the levels."""
    rows = [(level, taken, grafted) for level, trays in levels.items() for taken, grafted in trays]
    frame = pd.DataFrame(rows, columns=[column, "taken", "grafted"])
    frame.insert(0, "tray", [f"T{i + 1:02d}" for i in range(len(frame))])
    frame["season"] = "2025-26"
    frame["count_date"] = "2026-06-15"
    return frame.assign(**more)


_read: dict[bytes, Records] = {}


def records_of(frame: pd.DataFrame, **settings: object) -> Records:
    """Read a frame as records; the same frame is read once, for records do not change."""
    key = pickle.dumps((frame.to_dict("split"), frame.dtypes.astype(str).tolist(), settings))
    if key not in _read:
        if len(_read) >= 64:
            _read.clear()
        _read[key] = records_from_frame(frame, trial=settings or None)
    return _read[key]


def two_methods() -> pd.DataFrame:
    """Cleft against side veneer, four trays each, unequal sizes."""
    return bench({
        "cleft": [(31, 40), (36, 40), (19, 25), (33, 40)],
        "side veneer": [(38, 40), (39, 40), (24, 25), (37, 40)],
    })  # fmt: skip


def two_by_two() -> pd.DataFrame:
    """Two methods by two woods, three trays a cell."""
    parts = []
    for (method, wood), counts in {
        ("cleft", "terminal"): (15, 17, 16),
        ("cleft", "sub_terminal"): (12, 14, 15),
        ("side veneer", "terminal"): (19, 18, 20),
        ("side veneer", "sub_terminal"): (17, 19, 16),
    }.items():
        parts.append(bench({method: [(k, 20) for k in counts]}, scion_wood=wood))
    frame = pd.concat(parts, ignore_index=True)
    frame["tray"] = [f"T{i + 1:02d}" for i in range(len(frame))]
    return frame
