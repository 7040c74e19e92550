"""Does a plan keep what it claims? Twelve designs, fixed before the first run.

The power a plan claims is set beside trials drawn by another program (the trays of
``truths``), and its rate of false findings is counted where there is nothing to find.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.models.batched import batched_posterior
from takestats.models.phi_grid import usual_grid
from takestats.planning.one_arm import one_arm_posterior
from takestats.planning.power import simulated_power
from takestats.planning.question import Question
from tests.calibration.bars import Verdict
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL, draw_takes, spreads_of

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]

CORRELATIONS = (0.02, 0.05, 0.10, 0.20)


@dataclass(frozen=True)
class PlannedDesign:
    """A trial of a size that a plan may propose.

    ``take_a`` is the standard or the floor, ``take_b`` the new take or the only one;
    ``margin`` is that of no worse, or the half-width of an estimate.
    """

    question: Literal["tell_apart", "no_worse", "above_floor", "estimate"]
    take_a: float
    take_b: float
    margin: float
    trays: int
    size: int


def planned_designs() -> list[PlannedDesign]:
    """The twelve designs; the list was committed before anything was run."""
    return [
        PlannedDesign("tell_apart", 0.80, 0.95, 0.0, 3, 40),
        PlannedDesign("tell_apart", 0.80, 0.95, 0.0, 5, 20),
        PlannedDesign("tell_apart", 0.70, 0.90, 0.0, 5, 40),
        PlannedDesign("tell_apart", 0.60, 0.90, 0.0, 4, 12),
        PlannedDesign("tell_apart", 0.85, 0.95, 0.0, 10, 20),
        PlannedDesign("tell_apart", 0.80, 0.90, 0.0, 20, 20),
        PlannedDesign("tell_apart", 0.90, 0.95, 0.0, 40, 24),
        PlannedDesign("no_worse", 0.90, 0.90, 0.10, 10, 24),
        PlannedDesign("no_worse", 0.85, 0.90, 0.15, 5, 40),
        PlannedDesign("above_floor", 0.70, 0.90, 0.0, 5, 20),
        PlannedDesign("above_floor", 0.80, 0.90, 0.0, 12, 30),
        PlannedDesign("estimate", 0.0, 0.90, 0.08, 10, 24),
    ]


TAILS = (0.025, 0.975)
CHUNK = 250
#: The plan's own seed; the independent trials never use it.
PLAN_SEED = 1
GAP_BAR, MEAN_BAR, USUAL_BAR, HIGHEST_BAR = 0.02, 0.05, 0.06, 0.085
USUAL_ICC = 0.10
_TRUTHS = (BETA_BINOMIAL, LOGIT_NORMAL)


def question_of(design: PlannedDesign) -> Question:
    """The design as the plan asks it."""
    return Question(
        kind=design.question,
        take_a=design.take_a,
        take_b=design.take_b,
        margin=design.margin,
        tray_size=design.size,
    )


def _counts(
    rng: np.random.Generator,
    design: PlannedDesign,
    takes: tuple[float, ...],
    icc: float,
    truth: str,
    trials: int,
) -> list[Counts]:
    spreads = spreads_of(truth, takes, (icc,) * len(takes))
    shape = (trials, design.trays)
    return [
        rng.binomial(design.size, draw_takes(rng, truth, take, spread, shape)).astype(np.int64)
        for take, spread in zip(takes, spreads, strict=True)
    ]


def _limits(design: PlannedDesign, counts: list[Counts]) -> Floats:
    """Limits of the difference (A minus B) or of the take, as a grower sees them."""
    found = []
    for start in range(0, counts[0].shape[0], CHUNK):
        part = [item[start : start + CHUNK] for item in counts]
        if len(part) == 2:
            posterior = batched_posterior(part[0], part[1], design.size, design.size)
            found.append(posterior.difference_limits(TAILS))
            continue
        limits = one_arm_posterior(part[0], design.size, usual_grid()).take_limits(0, TAILS)
        limits[np.all(part[0] == design.size, axis=1), 1] = 1.0
        limits[np.all(part[0] == 0, axis=1), 0] = 0.0
        found.append(limits)
    return np.concatenate(found)


def _takes(design: PlannedDesign) -> tuple[float, ...]:
    if design.question in ("above_floor", "estimate"):
        return (design.take_b,)
    return (design.take_a, design.take_b)


def _answered(design: PlannedDesign, limits: Floats) -> tuple[float, float]:
    """Share of trials that answer as hoped for, and the other way round."""
    low, high = limits[:, 0], limits[:, 1]
    if design.question == "tell_apart":
        return float(np.mean(high < 0.0)), float(np.mean(low > 0.0))
    if design.question == "no_worse":
        return float(np.mean(high < design.margin)), float(np.mean(low > design.margin))
    if design.question == "above_floor":
        return float(np.mean(low > design.take_a)), float(np.mean(high < design.take_a))
    return float(np.mean(0.5 * (high - low) <= design.margin)), 0.0


def _nothing(design: PlannedDesign) -> tuple[float, ...] | None:
    """Takes where there is nothing to find."""
    return {
        "tell_apart": (design.take_a, design.take_a),
        "no_worse": (design.take_a, design.take_a - design.margin),
        "above_floor": (design.take_a,),
    }.get(design.question)


def judge_planned(design: PlannedDesign, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Claimed power beside independent trials, and false findings, for every correlation.

    Returns
    -------
    dict
        The design; ``claimed``, ``power`` (lists over the correlations) and, for each truth,
        ``false_beta_binomial``, ``false_logit_normal`` (either side); ``false_one_side`` (mean
        over both truths of finding what was hoped for).
    """
    rng = np.random.default_rng((*seed, 77))
    out: dict[str, Any] = asdict(design)
    names = ("claimed", "power", "false_beta_binomial", "false_logit_normal", "false_one_side")
    rows: dict[str, list[float]] = {name: [] for name in names}
    for icc in CORRELATIONS:
        claimed = simulated_power(
            question_of(design), design.trays, (icc,), trials=trials, seed=PLAN_SEED
        )
        rows["claimed"].append(claimed.power)
        halves = [
            _answered(
                design,
                _limits(design, _counts(rng, design, _takes(design), icc, truth, trials // 2)),
            )[0]
            for truth in _TRUTHS
        ]
        rows["power"].append(float(np.mean(halves)))
        null = _nothing(design)
        if null is None:
            continue
        sides = [
            _answered(design, _limits(design, _counts(rng, design, null, icc, truth, trials)))
            for truth in _TRUTHS
        ]
        rows["false_beta_binomial"].append(sum(sides[0]))
        rows["false_logit_normal"].append(sum(sides[1]))
        rows["false_one_side"].append(float(np.mean([side[0] for side in sides])))
    return out | rows


def _name(record: Any) -> str:
    return (
        f"{record['question'].replace('_', ' ')} {record['take_a']:g}, {record['take_b']:g}: "
        f"{record['trays']} trays of {record['size']}"
    )


def planning_bars(frame: pd.DataFrame) -> list[Verdict]:
    """Claimed power is kept; false findings are as rare as they should be."""
    found = []
    for seed, part in frame.groupby("seed"):
        row = f"planning, seed {seed}"
        records = part.to_dict("records")
        gaps = [
            max(abs(a - b) for a, b in zip(r["claimed"], r["power"], strict=True)) for r in records
        ]
        worst = int(np.argmax(gaps))
        found.append(
            Verdict(
                row,
                "Claimed power beside independent trials, every design and correlation",
                f"within {100 * GAP_BAR:.0f} points",
                f"largest gap {100 * gaps[worst]:.1f} points",
                gaps[worst] <= GAP_BAR,
                _name(records[worst]),
            )
        )
        tested = [r for r in records if r["false_one_side"]]
        both = [[*r["false_beta_binomial"], *r["false_logit_normal"]] for r in tested]
        usual = [
            max(
                rate
                for rates in (r["false_beta_binomial"], r["false_logit_normal"])
                for rate, icc in zip(rates, CORRELATIONS, strict=True)
                if icc <= USUAL_ICC
            )
            for r in tested
        ]
        for what, values, bar in (
            ("mean over correlations and truths", [float(np.mean(b)) for b in both], MEAN_BAR),
            ("at correlations up to .10", usual, USUAL_BAR),
            ("at any correlation", [max(b) for b in both], HIGHEST_BAR),
        ):
            at = int(np.argmax(values))
            found.append(
                Verdict(
                    row,
                    f"False findings on either side, every design: {what}",
                    f"at most {100 * bar:g} %",
                    f"highest {100 * values[at]:.1f} %",
                    values[at] <= bar,
                    _name(tested[at]),
                )
            )
    return found
