"""Is an order met that was placed by the lower limit of a new season?

The next season is drawn from the same truth as those on record; the chance that
its take lies at or above the lower 90 % limit is worked out from that truth.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import pandas as pd

import takestats as ts
from takestats.answers.expected_take import expected_take
from tests.calibration.bars import Verdict, share
from tests.calibration.grouping import layers_of
from tests.calibration.through_fit import with_taken
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

MEAN_BAR, POOLED_FLOOR = (0.88, 0.94), 0.85
OWN, SHARED = "years of its own", "years that hit all alike"
POOLED = 5
_ICC = 0.06
_BENCHES = 5


@dataclass(frozen=True)
class Setting:
    """One truth of some combinations made in some seasons."""

    block: str
    groups: int
    seasons: int
    between: float
    take: float
    truth: str


def new_season_settings() -> list[Setting]:
    """One combination by itself: season spread .3, .5, .8; one, two, three and five seasons."""
    return [
        Setting(OWN, 1, seasons, between, take, truth)
        for between in (0.3, 0.5, 0.8)
        for seasons in (1, 2, 3, 5)
        for take, truth in ((0.90, BETA_BINOMIAL), (0.93, LOGIT_NORMAL))
    ]


def pooled_season_settings() -> list[Setting]:
    """Five combinations, their spread between seasons pooled; years of their own, and shared."""
    return [
        Setting(block, POOLED, seasons, between, 0.90, truth)
        for block in (OWN, SHARED)
        for between in (0.3, 0.5, 0.8)
        for seasons, truth in ((2, BETA_BINOMIAL), (3, LOGIT_NORMAL), (5, BETA_BINOMIAL))
    ]


def _bench(rng: np.random.Generator, setting: Setting) -> pd.DataFrame:
    rows = []
    for group in range(setting.groups):
        for season in range(setting.seasons):
            for tray in range(int(rng.integers(3, 7))):
                rows.append(
                    {
                        "season": f"{2020 + season}-{21 + season}",
                        "tray": f"G{group + 1}-{tray + 1}",
                        "donor": f"G{group + 1}",
                        "grafted": int(rng.integers(20, 49)),
                        "count_date": f"{2021 + season}-06-15",
                    }
                )
    frame = pd.DataFrame(rows)
    return frame.assign(taken=frame["grafted"])


def judge_new_season(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting; the chance that next season's take meets the limit."""
    rng = np.random.default_rng(seed)
    # Takes of combinations a little apart: the first at the setting's take.
    apart = np.linspace(0.0, -0.08, setting.groups)
    truths = [
        layers_of(setting.take + float(step), setting.between, _ICC, setting.truth)
        for step in apart
    ]
    met, raw_met, limits = [], [], []
    benches = min(_BENCHES, trials)
    for bench in range(benches):
        frame = _bench(rng, setting)
        group = np.unique(frame["donor"], return_inverse=True)[1]
        season = np.unique(frame["season"], return_inverse=True)[1]
        records = ts.records_from_frame(frame)
        for _ in range(len(range(bench, trials, benches))):
            years = rng.standard_normal((setting.groups, setting.seasons))
            if setting.block == SHARED:
                years[:] = years[0]
            takes = np.empty(group.size)
            for index, truth in enumerate(truths):
                mine = group == index
                theta = truth.middle + truth.between * years[index, season[mine]]
                takes[mine] = truth.trays(rng, theta)
            taken = rng.binomial(frame["grafted"].to_numpy(), takes)
            table = expected_take(with_taken(records, taken), "donor").table
            lows, raw = table["low"].tolist(), table["raw_rate"].tolist()
            met.append([t.chance_above(low) for t, low in zip(truths, lows, strict=True)])
            raw_met.append([t.chance_above(rate) for t, rate in zip(truths, raw, strict=True)])
            limits.append(lows)
    return asdict(setting) | {
        "met_share": float(np.mean(met)),
        "raw_met_share": float(np.mean(raw_met)),
        "median_limit": float(np.median(limits)),
        "no_answer": int(np.sum(np.isnan(limits))),
    }


def _where(row: pd.Series) -> str:
    return (
        f"{row['groups']} combinations, {row['seasons']} seasons, season spread "
        f"{row['between']:g}, {row['truth']}, {row['block']}, seed {row['seed']}"
    )


def new_season_bars(frame: pd.DataFrame) -> list[Verdict]:
    """One combination's own seasons: orders met, on average over the settings."""
    found = []
    low, high = MEAN_BAR
    for seed, part in frame.groupby("seed"):
        row = f"new-season, seed {seed}"
        mean, least = float(part["met_share"].mean()), part.loc[part["met_share"].idxmin()]
        found.append(
            Verdict(
                row,
                "One combination: order by the lower 90 % limit of a new season met, mean",
                f"{share(low)} to {share(high)}",
                f"{share(mean)} (lowest setting {share(float(least['met_share']))}; by the raw "
                f"rate {share(float(part['raw_met_share'].mean()))})",
                low <= mean <= high,
                _where(least),
            )
        )
        lost = int(part["no_answer"].sum())
        found.append(Verdict(row, "Trials without an answer", "0", f"{lost}", lost == 0))
    return found


def pooled_season_bars(frame: pd.DataFrame) -> list[Verdict]:
    """Pooled over combinations: orders met at every season spread, by what years do."""
    found = []
    for seed, part in frame.groupby("seed"):
        row = f"pooled-season, seed {seed}"
        for block, some in part.groupby("block", sort=False):
            means = some.groupby("between")["met_share"].mean()
            told = ", ".join(f"{share(float(v))} at {k:g}" for k, v in means.items())
            found.append(
                Verdict(
                    row,
                    f"Pooled over {POOLED} combinations, {block}: order by the lower 90 % limit "
                    "met, mean at every season spread",
                    f"at least {share(POOLED_FLOOR)}",
                    f"lowest {share(float(means.min()))} ({told})",
                    bool(means.min() >= POOLED_FLOOR),
                    _where(some.loc[some["met_share"].idxmin()]),
                )
            )
        lost = int(part["no_answer"].sum())
        found.append(Verdict(row, "Trials without an answer", "0", f"{lost}", lost == 0))
    return found
