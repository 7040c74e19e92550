"""Is an order of grafts met: does a new season give the saleable plants that were wanted?

Past seasons are drawn from a known truth and counted, the order is placed by what they say, and
its grafts are then made in new seasons of the same truth: trays of 30, each with a take and a
saleable share of its own. Counted is how often the plants wanted were there.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

import takestats as ts
from takestats.order.past_seasons import PastSeasons, past_seasons
from takestats.order.plants_to_come import PlantsToCome
from takestats.records.result import Records
from tests.calibration.bars import Verdict, share
from tests.calibration.grouping import Layers, layers_of
from tests.calibration.new_season import (
    MEAN_BAR,
    OWN,
    POOLED,
    POOLED_FLOOR,
    SHARED,
    Setting,
    pooled_season_settings,
)
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

Floats = NDArray[np.float64]

ASSURANCE, WANTED, TRAY_SIZE = 0.9, 200, 30
NEW_SEASONS = 20
_BENCHES = 5
_ICC, _KEPT, _KEPT_SPREAD, _KEPT_ICC = 0.06, 0.92, 0.3, 0.02
_KNOWN_DRAWS = 40_000


def order_settings() -> list[Setting]:
    """One combination by itself: season spread .3, .5, .8; one, two, three and five seasons."""
    kinds = ((0.90, BETA_BINOMIAL), (0.93, LOGIT_NORMAL))
    return [
        Setting(OWN, 1, seasons, between, *kinds[(row + column) % 2])
        for row, between in enumerate((0.3, 0.5, 0.8))
        for column, seasons in enumerate((1, 2, 3, 5))
    ]


def pooled_order_settings() -> list[Setting]:
    """Five combinations, their spread between seasons pooled; years of their own, and shared."""
    return pooled_season_settings()


def _bench(rng: np.random.Generator, setting: Setting) -> pd.DataFrame:
    rows = []
    for group in range(setting.groups):
        for season in range(setting.seasons):
            for tray in range(int(rng.integers(3, 7))):
                made = int(rng.integers(20, 49))
                rows.append(
                    {
                        "season": f"{2020 + season}-{21 + season}",
                        "tray": f"G{group + 1}-{tray + 1}",
                        "scion": f"Acer rubrum 'G{group + 1}'",
                        "understock": "Acer rubrum",
                        "grafted": made,
                        "taken": made,
                        "count_date": f"{2021 + season}-06-15",
                        "saleable": made,
                        "saleable_date": f"{2021 + season}-10-15",
                    }
                )
    return pd.DataFrame(rows)


def _counted(records: Records, taken: NDArray[np.int64], saleable: NDArray[np.int64]) -> Records:
    """Give the same benches with other counts; lines are in the order of the rows."""
    counts = records.counts.assign(taken=taken.astype(float))
    trays = records.trays.assign(taken=taken.astype(float), saleable=saleable.astype(float))
    return replace(records, counts=counts, trays=trays)


def _theta(rng: np.random.Generator, truth: Layers, shape: tuple[int, ...]) -> Floats:
    return truth.middle + truth.between * rng.standard_normal(shape)


def _new_seasons(rng: np.random.Generator, take: Layers, kept: Layers, grafts: int) -> Floats:
    """Saleable plants of so many grafts, one number for each new season."""
    full, rest = divmod(grafts, TRAY_SIZE)
    sizes = np.array([TRAY_SIZE] * full + ([rest] if rest else []))
    shape = (NEW_SEASONS, sizes.size)
    tray_takes, tray_kept = (
        truth.trays(rng, np.repeat(_theta(rng, truth, (NEW_SEASONS,)), sizes.size)).reshape(shape)
        for truth in (take, kept)
    )
    taken = rng.binomial(np.broadcast_to(sizes, shape), tray_takes)
    return np.asarray(rng.binomial(taken, tray_kept).sum(axis=1), dtype=float)


def _known(rng: np.random.Generator, take: Layers, kept: Layers) -> float:
    """Grafts by the truth: the plants wanted over the share a season falls below once in ten."""
    shares = take.takes(_theta(rng, take, (_KNOWN_DRAWS,)))
    shares = shares * kept.takes(_theta(rng, kept, (_KNOWN_DRAWS,)))
    return WANTED / float(np.quantile(shares, 1.0 - ASSURANCE))


def _grafts(past: PastSeasons, name: str) -> int:
    come = PlantsToCome.of(past.sold[name].nodes, None, TRAY_SIZE)
    grafts = come.fewest_grafts(WANTED, ASSURANCE)
    assert grafts is not None
    return grafts


def judge_order(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting: past seasons, an order, new seasons."""
    rng = np.random.default_rng(seed)
    # Takes of combinations a little apart: the first at the setting's take.
    truths = [
        layers_of(setting.take + float(step), setting.between, _ICC, setting.truth)
        for step in np.linspace(0.0, -0.08, setting.groups)
    ]
    kept = layers_of(_KEPT, _KEPT_SPREAD, _KEPT_ICC, BETA_BINOMIAL)
    known = [_known(rng, truth, kept) for truth in truths]
    met, raw_met, made, beyond, short = [], [], [], [], []
    benches = min(_BENCHES, trials)
    for bench in range(benches):
        frame = _bench(rng, setting)
        group = np.unique(frame["scion"], return_inverse=True)[1]
        season = np.unique(frame["season"], return_inverse=True)[1]
        records = ts.records_from_frame(frame)
        for _ in range(len(range(bench, trials, benches))):
            years = rng.standard_normal((setting.groups, setting.seasons))
            if setting.block == SHARED:
                years[:] = years[0]
            culls = _theta(rng, kept, (setting.groups, setting.seasons))
            takes = np.empty(group.size)
            for index, truth in enumerate(truths):
                mine = group == index
                theta = truth.middle + truth.between * years[index, season[mine]]
                takes[mine] = truth.trays(rng, theta)
            taken = rng.binomial(frame["grafted"].to_numpy(), takes)
            saleable = rng.binomial(taken, kept.trays(rng, culls[group, season]))
            past = past_seasons(_counted(records, taken, saleable))
            for index, truth in enumerate(truths):
                grafts = _grafts(past, f"Acer rubrum 'G{index + 1}' on Acer rubrum")
                got = _new_seasons(rng, truth, kept, grafts)
                met.append(got >= WANTED)
                short.append(np.maximum(WANTED - got, 0.0) / WANTED)
                made.append(grafts / WANTED)
                beyond.append(grafts / known[index])
                mine = group == index
                raw = float(saleable[mine].sum() / frame["grafted"].to_numpy()[mine].sum())
                got = _new_seasons(rng, truth, kept, int(np.ceil(WANTED / max(raw, 1e-3))))
                raw_met.append(got >= WANTED)
    missed = np.concatenate(short)
    missed = missed[missed > 0.0]
    return asdict(setting) | {
        "met_share": float(np.mean(met)),
        "raw_met_share": float(np.mean(raw_met)),
        "grafts_a_plant": float(np.mean(made)),
        "grafts_to_known": float(np.median(beyond)),
        "short_when_missed": float(missed.mean()) if missed.size else 0.0,
        "no_answer": 0,
    }


def _where(row: pd.Series) -> str:
    return (
        f"{row['groups']} combinations, {row['seasons']} seasons, season spread "
        f"{row['between']:g}, {row['truth']}, {row['block']}, seed {row['seed']}"
    )


def _beside(part: pd.DataFrame) -> str:
    """What the order cost: grafts for each plant wanted, and how short it was when missed."""
    return (
        f"{part['grafts_a_plant'].mean():.2f} grafts for each plant wanted, "
        f"{part['grafts_to_known'].mean():.2f} times those needed if the truth were known; when "
        f"missed, {100 * part['short_when_missed'].mean():.0f} % of the plants short"
    )


def order_bars(frame: pd.DataFrame) -> list[Verdict]:
    """One combination's own seasons: orders met, on average over the settings."""
    found = []
    low, high = MEAN_BAR
    for seed, part in frame.groupby("seed"):
        mean, least = float(part["met_share"].mean()), part.loc[part["met_share"].idxmin()]
        found.append(
            Verdict(
                f"order, seed {seed}",
                "One combination: order placed at 90 % met in new seasons, mean",
                f"{share(low)} to {share(high)}",
                f"{share(mean)} (lowest setting {share(float(least['met_share']))}; by the raw "
                f"rate {share(float(part['raw_met_share'].mean()))}; {_beside(part)})",
                low <= mean <= high,
                _where(least),
            )
        )
    return found


def pooled_order_bars(frame: pd.DataFrame) -> list[Verdict]:
    """Pooled over combinations: orders met at every season spread, by what years do."""
    found = []
    for seed, part in frame.groupby("seed"):
        for block, some in part.groupby("block", sort=False):
            means = some.groupby("between")["met_share"].mean()
            told = ", ".join(f"{share(float(v))} at {k:g}" for k, v in means.items())
            found.append(
                Verdict(
                    f"pooled-order, seed {seed}",
                    f"Pooled over {POOLED} combinations, {block}: order placed at 90 % met, mean "
                    "at every season spread",
                    f"at least {share(POOLED_FLOOR)}",
                    f"lowest {share(float(means.min()))} ({told}; {_beside(some)})",
                    bool(means.min() >= POOLED_FLOOR),
                    _where(some.loc[some["met_share"].idxmin()]),
                )
            )
    return found
