"""Two methods in each tray: a shared tray effect, a method effect of its own in each tray.

Trays good for one method are good for the other: they share a standard normal place,
on the log odds or as a quantile of beta distributions. The records are sent the whole
way, through ``fit_take``.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import optimize, special

import takestats as ts
from takestats.models.averaged_take import correlation_of_sigma, theta_of_take
from tests.calibration.bars import Verdict, share
from tests.calibration.through_fit import Tally, with_taken
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

Floats = NDArray[np.float64]

FLOOR, LATTICE_FLOOR, OWN_FLOOR, ONE_FLOOR = 0.915, 0.90, 0.92, 0.905
_METHODS = ("cleft", "side veneer")
_OWN = "method effect differing by tray"
_ONE = "some trays with one method only"
_PLAIN = "both methods in each tray"
# Few distinct answers are possible: coverage jumps with the truth.
_LATTICE_GRAFTS = 120


@dataclass(frozen=True)
class Setting:
    """One truth of two methods in each tray."""

    block: str
    trays: int
    size: int
    takes: tuple[float, float]
    icc: float
    own: float
    truth: str


def rows_settings() -> list[Setting]:
    """Trays and grafts, three correlations, two pairs of takes, and two departures."""
    found = [
        Setting(_PLAIN, trays, size, (0.80, 0.90), icc, 0.0, truth)
        for trays in (3, 5, 10, 20)
        for size in (6, 20)
        for icc, truth in ((0.05, BETA_BINOMIAL), (0.20, LOGIT_NORMAL))
    ]
    found += [
        Setting(_PLAIN, trays, 12, (0.90, 0.97), 0.10, 0.0, truth)
        for trays, truth in zip(
            (3, 5, 10, 20), (LOGIT_NORMAL, BETA_BINOMIAL, LOGIT_NORMAL, BETA_BINOMIAL), strict=True
        )
    ]
    found += [
        Setting(_OWN, trays, 20, (0.80, 0.90), 0.10, 0.4, LOGIT_NORMAL) for trays in (5, 10, 20)
    ]
    found += [
        Setting(_ONE, trays, 12, (0.80, 0.90), 0.10, 0.0, truth)
        for trays in (6, 12)
        for truth in (BETA_BINOMIAL, LOGIT_NORMAL)
    ]
    return found


@lru_cache(maxsize=64)
def _spread(takes: tuple[float, float], icc: float, own: float) -> tuple[float, Floats]:
    """Sigma solved to the mean correlation, and the middles of both methods."""
    phi = np.arcsin(np.sqrt(np.array(takes)))
    half = own / np.sqrt(2.0)

    def middles(sigma: float) -> Floats:
        return theta_of_take(phi, np.array([np.hypot(sigma, half)]))[0]

    def gap(sigma: float) -> float:
        width = np.full(2, np.hypot(sigma, half))
        return float(correlation_of_sigma(middles(sigma), width).mean()) - icc

    sigma = float(optimize.brentq(gap, 1e-3, 8.0, xtol=1e-8))
    return sigma, middles(sigma)


def draw_takes(rng: np.random.Generator, setting: Setting) -> Floats:
    """Takes of both methods in each tray, ``(trays, 2)``."""
    place = rng.standard_normal(setting.trays)[:, None]
    if setting.truth == BETA_BINOMIAL:
        size = 1.0 / setting.icc - 1.0
        mean = np.array(setting.takes)
        return np.asarray(special.betaincinv(mean * size, (1 - mean) * size, special.ndtr(place)))
    sigma, middles = _spread(setting.takes, setting.icc, setting.own)
    own = setting.own / np.sqrt(2.0) * rng.standard_normal((setting.trays, 2))
    return np.asarray(special.expit(middles + sigma * place + own))


def _bench(setting: Setting) -> pd.DataFrame:
    tray = np.repeat(np.arange(setting.trays), 2)
    method = np.tile([0, 1], setting.trays)
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i + 1:02d}" for i in tray],
            "method": [_METHODS[m] for m in method],
            "grafted": setting.size,
            "taken": setting.size,
            "count_date": "2026-06-15",
        }
    )
    if setting.block == _ONE:
        # Every third tray holds one method, in turn.
        alone = tray % 3 == 0
        frame = frame[~alone | (method == (tray // 3) % 2)].reset_index(drop=True)
    return frame


def judge_rows(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting and count how often the limits held the truth."""
    rng = np.random.default_rng(seed)
    frame = _bench(setting)
    records = ts.records_from_frame(frame)
    tray = frame["tray"].str[1:].astype(int).to_numpy() - 1
    method = (frame["method"] == _METHODS[1]).to_numpy().astype(int)
    known = dict(zip(_METHODS, setting.takes, strict=True))
    tally = Tally()
    for _ in range(trials):
        takes = draw_takes(rng, setting)[tray, method]
        told = with_taken(records, rng.binomial(setting.size, takes))
        model = ts.fit_take(told, ["method"])
        for row in ts.take_rates(model, "method").table.to_dict("records"):
            name = str(row["method"])
            tally.add(f"take_{name}", row["low"], row["high"], known[name])
        row = ts.differences(model, "method", pairs=[_METHODS]).table.iloc[0]
        gap = known[str(row["level_a"])] - known[str(row["level_b"])]
        tally.add("gap_method", row["low"], row["high"], gap)
    return asdict(setting) | tally.record()


def rows_words(row: pd.Series) -> str:
    """A setting as a reader would say it."""
    takes = " / ".join(f"{100 * take:g}" for take in row["takes"])
    return (
        f"{row['block']}, {row['trays']} trays, {row['size']} grafts a method, takes {takes} %, "
        f"ICC {row['icc']:g}, {row['truth']}, seed {row['seed']}"
    )


def rows_bars(frame: pd.DataFrame) -> list[Verdict]:
    """What was promised of several rows in a tray, beside what was measured."""
    lattice = (frame["trays"] * frame["size"] < _LATTICE_GRAFTS) & (frame["block"] == _PLAIN)
    columns = [c for c in frame.columns if c.endswith("_coverage")]
    found = []
    for seed, whole in frame.groupby("seed"):
        row = f"several-rows, seed {seed}"
        of_seed = frame["seed"] == seed
        for which, words, bar in (
            ((frame["block"] == _PLAIN) & ~lattice, "Both methods in each tray", FLOOR),
            (lattice, "The same, few grafts in all", LATTICE_FLOOR),
            (frame["block"] == _OWN, "A method effect differing by tray, SD .4", OWN_FLOOR),
            (frame["block"] == _ONE, "Some trays with one method only", ONE_FLOOR),
        ):
            part = frame[which & of_seed]
            if part.empty:
                continue
            lowest = part[columns].min(axis=1)
            means = " / ".join(share(float(part[c].mean())) for c in columns)
            found.append(
                Verdict(
                    row,
                    f"{words}: takes and difference in every setting",
                    f"at least {share(bar)}",
                    f"lowest {share(float(lowest.min()))} (means {means})",
                    bool(lowest.min() >= bar),
                    rows_words(part.loc[lowest.idxmin()]),
                )
            )
        lost = int(whole["no_answer"].sum())
        found.append(Verdict(row, "Trials without an answer", "0", f"{lost}", lost == 0))
    return found
