"""Many things differ at once: 22 unbalanced trays, two factors, caliper and date.

The records are sent the whole way, through ``fit_take`` with a curve over
caliper and one over the day of the season; the limits of takes and differences
at the observed mix are held against the truth at that same mix.
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
from takestats.models.averaged_take import averaged, correlation_of_sigma
from tests.calibration.through_fit import Tally, with_taken
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

Floats = NDArray[np.float64]

LEVELS = {"ordinary levels": 0.93, "one level at 99.5 %": 0.995, "one level at 100 %": 1.0}
_CLEFT_TAKE = 0.86
_SCION_LOG_ODDS, _DATE_LOG_ODDS = 0.5, -0.6
_METHODS, _SCIONS = ("cleft", "side veneer"), ("terminal", "sub_terminal")
# Trays of each cell, method by scion wood: unbalanced on purpose.
_CELLS = ((0, 0, 5), (0, 1, 3), (1, 0, 6), (1, 1, 8))
_SIZES = (8, 45)
_DAYS = (0, 7, 14, 21, 28)
_CALIPERS = (5.0, 6.0, 7.0, 8.0, 9.0)


@dataclass(frozen=True)
class Setting:
    """One truth and one shape of the effect of caliper."""

    design: str
    level: str
    icc: float
    truth: str


def regression_settings() -> list[Setting]:
    """Straight lines (5 coefficients) and a curve over caliper (7), three levels, ICC, truth."""
    return [
        Setting(design, level, icc, truth)
        for design in ("straight lines", "curve over caliper")
        for level in LEVELS
        for icc in (0.02, 0.05, 0.15)
        for truth in (BETA_BINOMIAL, LOGIT_NORMAL)
    ]


@dataclass(frozen=True, eq=False)
class Bench:
    """The trays: what was done to each, how large it is, its linear predictor without method."""

    frame: pd.DataFrame
    method: NDArray[np.int64]
    scion: NDArray[np.int64]
    sizes: NDArray[np.int64]
    rest: Floats


@lru_cache(maxsize=4)
def bench(design: str) -> Bench:
    """Draw one bench for each design: the trays stand, the trials differ."""
    rng = np.random.default_rng(20260)
    method = np.concatenate([np.full(trays, m) for m, _, trays in _CELLS])
    scion = np.concatenate([np.full(trays, s) for _, s, trays in _CELLS])
    trays = method.size
    sizes = rng.integers(_SIZES[0], _SIZES[1] + 1, trays)
    # The later method was used later and on thicker understock, as it happens.
    place = np.clip(rng.integers(0, 5, trays) + rng.integers(0, 2, trays) * method, 0, 4)
    days = np.array(_DAYS)[place]
    if design == "straight lines":
        caliper = np.array(_CALIPERS)[
            np.clip(rng.integers(0, 5, trays) + rng.integers(-1, 2, trays) * method, 0, 4)
        ]
        bend = 0.25 * (caliper - 7.0)
    else:
        caliper = np.round(np.clip(rng.normal(7.0 + 0.5 * method, 1.3, trays), 4.0, 10.5), 1)
        bend = 0.9 - 0.25 * (caliper - 7.2) ** 2
    rest = (
        _SCION_LOG_ODDS * (scion == 0)
        + _DATE_LOG_ODDS * (days - 14.0) / 14.0
        + np.maximum(bend, -1.5)
    )
    dates = pd.Timestamp("2026-01-12") + pd.to_timedelta(days, unit="D")
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i + 1:02d}" for i in range(trays)],
            "method": [_METHODS[m] for m in method],
            "scion_wood": [_SCIONS[s] for s in scion],
            "understock_caliper_mm": caliper,
            "graft_date": dates.strftime("%Y-%m-%d"),
            "grafted": sizes,
            "taken": sizes,
            "count_date": "2026-06-15",
        }
    )
    return Bench(frame, method, scion, sizes, rest)


@dataclass(frozen=True, eq=False)
class Truth:
    """Log odds of the middle tray of each line, spread, and the takes at the observed mix."""

    log_odds: Floats
    spread: float
    methods: tuple[float, float]
    scions: tuple[float, float]


def _mean_take(log_odds: Floats, sigma: float) -> Floats:
    sure = np.isposinf(log_odds)
    takes = averaged(np.where(sure, 0.0, log_odds), np.array(sigma))[0]
    return np.where(sure, 1.0, takes)


def _solve(here: Bench, sigma: float, level: float) -> tuple[float, float]:
    share = here.sizes / here.sizes.sum()

    def intercept(take: float) -> float:
        if take >= 1.0:
            return float("inf")
        return float(
            optimize.brentq(
                lambda c: float(share @ _mean_take(here.rest + c, sigma)) - take, -30.0, 40.0
            )
        )

    return intercept(_CLEFT_TAKE), intercept(level)


@lru_cache(maxsize=64)
def truth_of(setting: Setting) -> Truth:
    """Solve the intercepts to the takes, and sigma to the mean intra-tray correlation."""
    here = bench(setting.design)
    level = LEVELS[setting.level]

    def lines(sigma: float) -> Floats:
        starts = _solve(here, sigma, level)
        return np.asarray(here.rest + np.array(starts)[here.method])

    if setting.truth == BETA_BINOMIAL:
        sigma, spread = 0.0, setting.icc
    else:

        def gap(value: float) -> float:
            log_odds = lines(value)
            log_odds = log_odds[np.isfinite(log_odds)]
            return float(np.mean(correlation_of_sigma(log_odds, np.array(value)))) - setting.icc

        sigma = spread = float(optimize.brentq(gap, 1e-3, 8.0, xtol=1e-8))
    starts = np.array(_solve(here, sigma, level))
    share = here.sizes / here.sizes.sum()
    methods = tuple(float(share @ _mean_take(here.rest + start, sigma)) for start in starts)
    scions = []
    for scion in (0, 1):
        shift = _SCION_LOG_ODDS * (float(scion == 0) - (here.scion == 0))
        takes = _mean_take(here.rest + shift + starts[here.method], sigma)
        scions.append(float(share @ takes))
    return Truth(lines(sigma), spread, (methods[0], methods[1]), (scions[0], scions[1]))


def _draw(
    rng: np.random.Generator, setting: Setting, truth: Truth, sizes: NDArray[np.int64]
) -> NDArray[np.int64]:
    if setting.truth == BETA_BINOMIAL:
        mean = special.expit(truth.log_odds)
        size = (1.0 - truth.spread) / truth.spread
        some = mean < 1.0
        takes = np.ones(mean.size)
        takes[some] = rng.beta(mean[some] * size, (1.0 - mean[some]) * size)
    else:
        takes = special.expit(truth.log_odds + truth.spread * rng.standard_normal(sizes.size))
    return np.asarray(rng.binomial(sizes, takes))


def judge_regression(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting and count how often the limits at the observed mix held the truth."""
    rng = np.random.default_rng(seed)
    here, truth = bench(setting.design), truth_of(setting)
    records = ts.records_from_frame(here.frame)
    asked = {"method": (_METHODS, truth.methods), "scion_wood": (_SCIONS, truth.scions)}
    curves = ["understock_caliper_mm", "day_of_season"]
    tally = Tally()
    approximate = 0
    for _ in range(trials):
        taken = _draw(rng, setting, truth, here.sizes)
        model = ts.fit_take(with_taken(records, taken), list(asked), curves=curves)
        approximate += any("approximate" in note for note in model.notes)
        for factor, (levels, takes) in asked.items():
            known = dict(zip(levels, takes, strict=True))
            for row in ts.take_rates(model, factor).table.to_dict("records"):
                name = str(row[factor])
                tally.add(f"take_{name}", row["low"], row["high"], known[name])
            for row in ts.differences(model, factor, pairs=[levels]).table.to_dict("records"):
                gap = known[str(row["level_a"])] - known[str(row["level_b"])]
                tally.add(f"gap_{factor}", row["low"], row["high"], gap)
    return asdict(setting) | tally.record() | {"approximate": approximate}
