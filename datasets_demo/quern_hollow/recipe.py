"""What is true in the seasons of Quern Hollow, an invented nursery?

The recipe: every number from which the trays are drawn, and the averaged take
of a tray that follows from them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

import numpy as np

SEED = 20234
SEASONS = ("2023-24", "2024-25", "2025-26")
NEWEST = SEASONS[-1]
TRAY_SIZE = 30
MARK = f"INVENTED DATA: seed {SEED}. Known truth in known_truth.csv. No real nursery or cultivar."

# The truth, in log odds of take unless another unit is named.
BASE = 2.80
METHOD = {"side veneer": 0.0, "cleft": -1.05}
TRAY_CORRELATION = {"side veneer": 0.025, "cleft": 0.08}
SCION_WOOD = {"terminal": 0.0, "sub_terminal": -0.30}
UNION = {"low": 0.0, "high": -0.15}
CALIPER_CLASS = {"thin": 0.0, "stout": 0.10}
SEASON = {"2023-24": 0.0, "2024-25": -0.35, "2025-26": 0.10}
BENCH = {"north": 0.0, "middle": 0.05, "south": -0.05}
GRAFTER = {"AB": 0.0, "JT": 0.05, "MO": -0.05}
COMBINATION = {  # scion, understock (the nursery's short names)
    ("copper moth", "virginiana"): 0.0,
    ("saffron wren", "virginiana"): -0.30,
    ("grey sentry", "hornbeam"): 0.50,
    ("paper kite", "hornbeam"): -0.20,
    ("last lamp", "virginiana"): 3.20,
}
SCION_THINNER = {"virginiana": -0.10, "hornbeam": -0.60}  # witch hazels forgive a poor match
WEEK_BEND = -0.012  # times (week - 5.5) squared: early and late weeks take a little less

MISSING_SHARE = 0.012
DEAD_SHARE_OF_FAILURES = 0.20
PUSHES_ON_STORED_FOOD = 0.30
SALEABLE_SHARE = 0.90

# What was added later is drawn from its own stream, so that no earlier number moved.
LATER_STREAM = 1
ALIVE_NEXT_SPRING = {  # share of those that took; scion, understock
    ("copper moth", "virginiana"): 0.93,
    ("saffron wren", "virginiana"): 0.88,
    ("grey sentry", "hornbeam"): 0.985,
    ("paper kite", "hornbeam"): 0.94,
}
LATER_CORRELATION = 0.02
NEXT_SPRING = {"2023-24": dt.date(2025, 4, 22), "2024-25": dt.date(2026, 4, 21)}
ROOTED_SHARE = {"copper moth": 0.07, "saffron wren": 0.04}
ROOTING_CORRELATION = 0.03
CUTTING_TRAYS = 4
CUTTINGS_STRUCK = dt.date(2026, 1, 20)
CUTTINGS_COUNTED = dt.date(2026, 6, 9)
TARGETS = {  # saleable plants wanted
    ("copper moth", "virginiana"): 120,
    ("saffron wren", "virginiana"): 200,
    ("grey sentry", "hornbeam"): 220,
    ("paper kite", "hornbeam"): 260,
    ("last lamp", "virginiana"): 100,
}

NAMES = {
    "copper moth": "Hamamelis x intermedia 'Copper Moth'",
    "saffron wren": "Hamamelis x intermedia 'Saffron Wren'",
    "last lamp": "Hamamelis virginiana 'Last Lamp'",
    "grey sentry": "Carpinus betulus 'Grey Sentry'",
    "paper kite": "Carpinus japonica 'Paper Kite'",
    "virginiana": "Hamamelis virginiana",
    "hornbeam": "Carpinus betulus",
}
FIRST_TUESDAY = {
    "2023-24": dt.date(2024, 1, 9),
    "2024-25": dt.date(2025, 1, 7),
    "2025-26": dt.date(2026, 1, 6),
}
SETTLED = {
    "2023-24": dt.date(2024, 6, 18),
    "2024-25": dt.date(2025, 6, 17),
    "2025-26": dt.date(2026, 6, 16),
}
BUD_BREAK = {
    ("2023-24", "virginiana"): dt.date(2024, 3, 25),
    ("2023-24", "hornbeam"): dt.date(2024, 3, 29),
    ("2024-25", "virginiana"): dt.date(2025, 3, 21),
    ("2024-25", "hornbeam"): dt.date(2025, 3, 28),
    ("2025-26", "virginiana"): dt.date(2026, 3, 24),
    ("2025-26", "hornbeam"): dt.date(2026, 4, 1),
}
# Two combinations a week, each cleft and side veneer: every week is a whole block.
WEEK_COMBINATIONS = (
    ("copper moth", "grey sentry"),
    ("saffron wren", "paper kite"),
    ("copper moth", "paper kite"),
    ("saffron wren", "grey sentry"),
)
LAST_LAMP_WEEKS = (3, 7)  # newest season: takes the place of copper moth
FACTORS = (
    "method",
    "scion_wood",
    "union_height_mm",
    "caliper_class",
    "caliper_match",
    "combination",
)


@dataclass(kw_only=True)
class CuttingTray:
    """One tray of cuttings, struck in the newest season."""

    tray: str
    scion: str
    bench: str
    struck: int
    rooted: int


@dataclass(kw_only=True)
class Tray:
    """One tray: what was done to it and what was counted."""

    season: str
    tray: str
    week: int
    scion: str
    understock: str
    method: str
    day: int
    bench: str = ""
    scion_wood: str = ""
    union_height_mm: str = ""
    caliper_class: str = ""
    caliper_match: str = ""
    grafter: str = ""
    storage: int = 0
    grafted: int = 0
    counts: dict[str, dict[str, int]] = field(default_factory=dict)

    @property
    def combination(self) -> str:
        """Scion on understock, in full names."""
        return f"{NAMES[self.scion]} on {NAMES[self.understock]}"

    @property
    def made(self) -> int:
        """The grafts whose label was not lost."""
        return self.grafted - self.counts["settled"]["missing"]

    @property
    def settled_yet(self) -> bool:
        """Two trays of the last week were still flushing at the settled count."""
        return not (self.season == NEWEST and self.week == 10 and self.day == 1)


def expected_take(tray: Tray, **change: str) -> float:
    """Averaged take of a tray, or of the same tray with some of its factors changed."""
    of = {name: change.get(name, str(getattr(tray, name))) for name in FACTORS}
    scion, understock = tray.scion, tray.understock
    if "combination" in change:
        scion, understock = next(
            pair
            for pair in COMBINATION
            if f"{NAMES[pair[0]]} on {NAMES[pair[1]]}" == change["combination"]
        )
    x = BASE + METHOD[of["method"]] + SCION_WOOD[of["scion_wood"]] + UNION[of["union_height_mm"]]
    x += CALIPER_CLASS[of["caliper_class"]] + COMBINATION[scion, understock]
    x += SCION_THINNER[understock] if of["caliper_match"] == "scion thinner" else 0.0
    x += SEASON[tray.season] + BENCH[tray.bench] + GRAFTER[tray.grafter]
    x += WEEK_BEND * (tray.week - 5.5) ** 2
    return float(1.0 / (1.0 + np.exp(-x)))
