"""Two arms of equal trays: the 216 settings, unequal spreads, two trays an arm.

Runs through the batched exact grid: the same grid, nodes and four parts that
one-factor data get from ``fit_take``. Limits as a grower sees them, 100 % and
0 % rules applied.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.models.batched import BatchedPosterior, batched_posterior, pair_weights
from takestats.models.phi_grid import usual_grid
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL, draw_takes, spreads_of

TAKES = ((0.80, 0.90), (0.90, 0.97), (0.95, 0.95))
TRAYS = (3, 5, 10, 20)
SIZES = (12, 40)
CORRELATIONS = (0.0, 0.02, 0.05, 0.10, 0.20)
TAILS = (0.025, 0.5, 0.975)
CHUNK = 250


@dataclass(frozen=True)
class Setting:
    """One truth and one size of trial."""

    block: str
    take_a: float
    take_b: float
    trays_a: int
    trays_b: int
    size: int
    icc_a: float
    icc_b: float
    truth: str


def grid_settings() -> list[Setting]:
    """The 216 settings: ICC 0 once, not once per family."""
    found = []
    for take_a, take_b in TAKES:
        for trays in TRAYS:
            for size in SIZES:
                for icc in CORRELATIONS:
                    for truth in (BETA_BINOMIAL, LOGIT_NORMAL):
                        if icc == 0.0 and truth == LOGIT_NORMAL:
                            continue
                        found.append(
                            Setting("grid", take_a, take_b, trays, trays, size, icc, icc, truth)
                        )
    return found


def unequal_settings() -> list[Setting]:
    """One arm's trays more uneven than the other's, both ways round; also 3 against 15 trays."""
    found = []
    for low, high in ((0.02, 0.25), (0.05, 0.15)):
        for icc_a, icc_b in ((low, high), (high, low)):
            for trays_a, trays_b in ((5, 5), (10, 10), (20, 20), (3, 15), (15, 3)):
                for take_a, take_b in TAKES:
                    for truth in (BETA_BINOMIAL, LOGIT_NORMAL):
                        found.append(
                            Setting(
                                "unequal spread", take_a, take_b, trays_a, trays_b, 20,
                                icc_a, icc_b, truth,
                            )
                        )  # fmt: skip
    return found


def two_tray_settings() -> list[Setting]:
    """Two trays an arm."""
    return [
        Setting("two trays", take_a, take_b, 2, 2, size, icc, icc, truth)
        for take_a, take_b in TAKES
        for size in SIZES
        for icc in CORRELATIONS
        for truth in (BETA_BINOMIAL, LOGIT_NORMAL)
        if not (icc == 0.0 and truth == LOGIT_NORMAL)
    ]


def draw_counts(
    rng: np.random.Generator, setting: Setting, trials: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Draw the counts of many trials."""
    takes = (setting.take_a, setting.take_b)
    spreads = spreads_of(setting.truth, takes, (setting.icc_a, setting.icc_b))
    arms = []
    for take, spread, trays in zip(takes, spreads, (setting.trays_a, setting.trays_b), strict=True):
        drawn = draw_takes(rng, setting.truth, take, spread, (trials, trays))
        arms.append(rng.binomial(setting.size, drawn).astype(np.int64))
    return arms[0], arms[1]


def covered(limits: NDArray[np.float64], truth: float) -> dict[str, float]:
    """Share of limits that hold the truth, and the shares that miss it on either side."""
    high, low = limits[:, 0] > truth, limits[:, -1] < truth
    return {
        "coverage": float(np.mean(~low & ~high)),
        "below": float(np.mean(low)),
        "above": float(np.mean(high)),
    }


@lru_cache(maxsize=8)
def _odds_weights(log_odds: float) -> NDArray[np.float64]:
    takes = usual_grid().takes
    return pair_weights(usual_grid(), special.expit(special.logit(takes) - log_odds)[:, None])


def shown_take_limits(
    posterior: BatchedPosterior, arm: int, counts: NDArray[np.int64], size: int
) -> NDArray[np.float64]:
    """Limits of a take as they are shown: 100 % when every graft took, 0 % when none did."""
    limits = posterior.take_limits(arm, TAILS)
    limits[np.all(counts == size, axis=1), -1] = 1.0
    limits[np.all(counts == 0, axis=1), 0] = 0.0
    return limits


def judge(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting and count how often the limits held.

    Returns
    -------
    dict
        The setting; for ``a``, ``b`` (takes) and ``gap`` (A minus B) the coverage, the shares of
        limits wholly below and wholly above the truth, the median width, by how much the middle
        miss was off; for the takes the share of trials that missed and in which every graft took;
        the coverage of the averaged log odds ratio; trials without an answer.
    """
    rng = np.random.default_rng(seed)
    parts: list[dict[str, NDArray[np.float64]]] = []
    for start in range(0, trials, CHUNK):
        a, b = draw_counts(rng, setting, min(CHUNK, trials - start))
        posterior = batched_posterior(a, b, setting.size, setting.size)
        log_odds = float(special.logit(setting.take_a) - special.logit(setting.take_b))
        odds = posterior.below(_odds_weights(log_odds))[:, 0]
        all_a = np.all(a == setting.size, axis=1)
        all_b = np.all(b == setting.size, axis=1)
        parts.append(
            {
                "a": shown_take_limits(posterior, 0, a, setting.size),
                "b": shown_take_limits(posterior, 1, b, setting.size),
                "gap": posterior.difference_limits(TAILS),
                "odds_below": (odds > TAILS[2]) & ~all_a,
                "odds_above": (odds < TAILS[0]) & ~all_b,
                "full_a": all_a,
                "full_b": all_b,
            }
        )
    joined = {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    out: dict[str, Any] = asdict(setting)
    for name, truth in (
        ("a", setting.take_a),
        ("b", setting.take_b),
        ("gap", setting.take_a - setting.take_b),
    ):
        limits = joined[name]
        out |= {f"{name}_{key}": value for key, value in covered(limits, truth).items()}
        out[f"{name}_width"] = float(np.median(limits[:, -1] - limits[:, 0]))
        off = np.maximum(limits[:, 0] - truth, truth - limits[:, -1])
        out[f"{name}_off"] = float(np.median(off[off > 0.0])) if np.any(off > 0.0) else 0.0
        if name != "gap":
            out[f"{name}_missed_full"] = float(np.mean((off > 0.0) & joined[f"full_{name}"]))
    out["odds_coverage"] = float(
        1.0 - np.mean(joined["odds_below"]) - np.mean(joined["odds_above"])
    )
    answered = np.ones(trials, dtype=bool)
    for name in ("a", "b", "gap"):
        answered &= np.all(np.isfinite(joined[name]), axis=1)
        answered &= joined[name][:, -1] >= joined[name][:, 0]
    out["no_answer"] = int(np.sum(~answered))
    return out
