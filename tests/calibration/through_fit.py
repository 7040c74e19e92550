"""The whole way that a grower's records go: records, ``fit_take``, rates, differences.

Trays of 5 to 60 grafts, two and three methods, few trays of one and many of
another, spreads alike and unlike.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from itertools import combinations
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

import takestats as ts
from takestats.records.result import Records
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL, draw_takes, spreads_of

METHODS = ("cleft", "side veneer", "whip-and-tongue")
# Tray sizes are drawn this many times within a setting.
_BENCHES = 10
_LEAST, _MOST = 5, 60
_EDGE = 1e-12


@dataclass(frozen=True)
class Setting:
    """One truth of a trial of two or three methods with unequal trays."""

    block: str
    takes: tuple[float, ...]
    trays: tuple[int, ...]
    iccs: tuple[float, ...]
    truth: str


def fit_take_settings() -> list[Setting]:
    """Unequal trays; three levels; unequal arms; and unequal spreads among unequal trays."""
    shapes = [
        ("unequal trays", takes, (trays, trays))
        for takes in ((0.80, 0.90), (0.90, 0.97), (0.95, 0.95))
        for trays in (5, 10)
    ]
    shapes += [
        ("three levels", takes, (trays,) * 3)
        for takes in ((0.80, 0.90, 0.97), (0.95, 0.95, 0.90))
        for trays in (5, 10)
    ]
    shapes += [
        ("unequal arms", takes, trays)
        for takes in ((0.80, 0.90), (0.90, 0.97))
        for trays in ((3, 12), (12, 3))
    ]
    shapes.append(("unequal arms", (0.80, 0.90, 0.97), (4, 8, 16)))
    found = []
    for block, takes, trays in shapes:
        for icc in (0.0, 0.05, 0.20):
            for truth in (BETA_BINOMIAL, LOGIT_NORMAL):
                if icc > 0.0 or truth == BETA_BINOMIAL:
                    found.append(Setting(block, takes, trays, (icc,) * len(takes), truth))
    for iccs in ((0.02, 0.25), (0.25, 0.02)):
        for trays in ((5, 5), (10, 10)):
            for truth in (BETA_BINOMIAL, LOGIT_NORMAL):
                found.append(Setting("unequal spread", (0.80, 0.90), trays, iccs, truth))
    return found


def _bench(rng: np.random.Generator, setting: Setting) -> pd.DataFrame:
    trays = sum(setting.trays)
    sizes = np.exp(rng.uniform(np.log(_LEAST), np.log(_MOST + 1), trays)).astype(int)
    return pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i + 1:02d}" for i in range(trays)],
            "method": np.repeat(METHODS[: len(setting.trays)], setting.trays),
            "grafted": sizes,
            "taken": sizes,
            "count_date": "2026-06-15",
        }
    )


def with_taken(records: Records, taken: NDArray[np.int64]) -> Records:
    """Give the same benches with other counts; lines are in the order of the rows."""
    counts = records.counts.copy()
    trays = records.trays.copy()
    counts["taken"] = taken.astype(float)
    trays["taken"] = taken.astype(float)
    return replace(records, counts=counts, trays=trays)


class Tally:
    """How often limits held their truth."""

    def __init__(self) -> None:
        self._seen: dict[str, list[tuple[bool, bool, float, bool]]] = {}

    def add(self, name: str, low: float, high: float, truth: float) -> None:
        """Count one pair of limits."""
        answered = not (np.isnan(low) or np.isnan(high)) and low <= high
        below, above = high < truth - _EDGE, low > truth + _EDGE
        self._seen.setdefault(name, []).append((below, above, high - low, answered))

    def record(self) -> dict[str, Any]:
        """Coverage, misses and median width of every target."""
        out: dict[str, Any] = {}
        lost = 0
        for name, rows in self._seen.items():
            below, above, width, answered = (np.array(column) for column in zip(*rows, strict=True))
            out[f"{name}_coverage"] = float(np.mean(~below & ~above & answered))
            out[f"{name}_below"] = float(np.mean(below))
            out[f"{name}_above"] = float(np.mean(above))
            out[f"{name}_width"] = float(np.median(width))
            lost += int(np.sum(~answered))
        return out | {"no_answer": lost}


def judge_fit_take(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting and send every trial through records, fit and answers."""
    rng = np.random.default_rng(seed)
    spreads = spreads_of(setting.truth, setting.takes, setting.iccs)
    truth = dict(zip(METHODS, setting.takes, strict=False))
    tally = Tally()
    benches = min(_BENCHES, trials)
    for bench in range(benches):
        frame = _bench(rng, setting)
        records = ts.records_from_frame(frame)
        for _ in range(len(range(bench, trials, benches))):
            takes = np.concatenate(
                [
                    draw_takes(rng, setting.truth, take, spread, (trays,))
                    for take, spread, trays in zip(
                        setting.takes, spreads, setting.trays, strict=True
                    )
                ]
            )
            taken = rng.binomial(frame["grafted"].to_numpy(), takes)
            model = ts.fit_take(with_taken(records, taken), ["method"])
            for row in ts.take_rates(model, "method").table.to_dict("records"):
                name = str(row["method"])
                tally.add(f"take_{METHODS.index(name)}", row["low"], row["high"], truth[name])
            pairs = list(combinations(METHODS[: len(setting.takes)], 2))
            for row in ts.differences(model, "method", pairs=pairs).table.to_dict("records"):
                a, b = str(row["level_a"]), str(row["level_b"])
                tally.add(
                    f"gap_{METHODS.index(a)}{METHODS.index(b)}",
                    row["low"],
                    row["high"],
                    truth[a] - truth[b],
                )
    return asdict(setting) | tally.record()
