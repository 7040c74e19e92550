"""How many grafts does a tray of next season hold?"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

import numpy as np

from takestats.order.past_seasons import PastSeasons
from takestats.records.settings import TrialSettings

Why = Literal["given", "settings", "records", "grafted", "not recorded"]


class TraySize(NamedTuple):
    """Cells of a tray (nan: not recorded) and where the number is from."""

    cells: float
    why: Why


def tray_size_of(given: int | None, past: PastSeasons | None, settings: TrialSettings) -> TraySize:
    """Cells of a tray: as asked, as in the settings, as recorded, else as the trays were filled.

    Parameters
    ----------
    given : int or None
    past : PastSeasons or None
    settings : TrialSettings

    Returns
    -------
    TraySize
        Recorded: the commonest size of the newest season. As filled: the middle number of
        grafts in a tray of the newest season. Without trays, not recorded.
    """
    if given is not None:
        return TraySize(float(given), "given")
    if settings.bench.get("tray_size", 0) > 0:
        return TraySize(float(settings.bench["tray_size"]), "settings")
    if past is None:
        return TraySize(math.nan, "not recorded")
    lines = past.lines
    newest = lines[lines["season"].astype(str) == lines["season"].astype(str).max()]
    if "tray_size" in newest and newest["tray_size"].notna().any():
        sizes = newest["tray_size"].dropna().to_numpy(dtype=float)
        values, counts = np.unique(sizes, return_counts=True)
        return TraySize(float(values[counts.argmax()]), "records")
    if past.records.no_trays:
        return TraySize(math.nan, "not recorded")
    filled = newest.groupby("tray_id")["grafted"].sum().to_numpy(dtype=float)
    return TraySize(float(np.ceil(np.median(filled))), "grafted")
