"""Plans keep what they claim: the twelve designs and their bars."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.planning.judged import judged
from takestats.planning.power import simulated_power
from takestats.planning.question import Question
from tests.calibration.planning import CORRELATIONS, judge_planned, planned_designs, planning_bars
from tests.calibration.several_rows import Setting, draw_takes
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL


def test_the_designs_are_those_that_were_promised() -> None:
    designs = planned_designs()
    assert len(designs) == len(set(designs)) == 12
    assert any(d.trays == 5 for d in designs)
    assert CORRELATIONS[-1] == 0.20
    assert {d.question for d in designs} == {"tell_apart", "no_worse", "above_floor", "estimate"}


def test_bars_are_met_or_not() -> None:
    few = [judge_planned(planned_designs()[i], 40, (7, i)) for i in (0, 7, 9, 11)]
    assert all(len(record["claimed"]) == 4 for record in few)
    frame = pd.DataFrame(few).assign(seed=7)
    tested = frame.index[:3]
    good, bad = frame.copy(), frame.copy()
    for index in frame.index:
        good.at[index, "claimed"] = good.at[index, "power"]
        bad.at[index, "claimed"] = [0.1 + p for p in bad.at[index, "power"]]
    for index in tested:
        for name in ("false_beta_binomial", "false_logit_normal", "false_one_side"):
            good.at[index, name] = [0.03, 0.03, 0.04, 0.06]
            bad.at[index, name] = [0.03, 0.07, 0.07, 0.09]
    assert all(verdict.met for verdict in planning_bars(good))
    assert not any(verdict.met for verdict in planning_bars(bad))


@pytest.mark.calibration
def test_the_twelve_designs_keep_what_they_claim() -> None:
    records = [
        judge_planned(design, 10_000, (1, index)) for index, design in enumerate(planned_designs())
    ]
    missed = [v for v in planning_bars(pd.DataFrame(records).assign(seed=1)) if not v.met]
    assert missed == []


@pytest.mark.calibration
@pytest.mark.parametrize(
    ("trays", "size", "takes"), [(5, 20, (0.80, 0.95)), (12, 20, (0.80, 0.90)), (6, 12, (0.7, 0.9))]
)
def test_both_methods_in_each_tray_keep_what_is_claimed(
    trays: int, size: int, takes: tuple[float, float]
) -> None:
    """Trays of another program; also where the method's effect differs by tray (sd .4)."""
    rng = np.random.default_rng(99)
    asked = Question(
        kind="tell_apart", take_a=takes[0], take_b=takes[1], tray_size=size, within_trays=True
    )

    def found(pair: tuple[float, float], icc: float, own: float, truth: str) -> tuple[float, float]:
        setting = Setting("both", trays, size // 2, pair, icc, own, truth)
        k = np.array([rng.binomial(size // 2, draw_takes(rng, setting)) for _ in range(1500)])
        verdicts = judged(asked, (k[:, :, 0], k[:, :, 1]), icc)
        return float(verdicts.found.mean()), float(verdicts.against.mean())

    for icc in CORRELATIONS:
        claimed = simulated_power(asked, trays, (icc,), trials=3000, seed=1).power
        power = np.mean([found(takes, icc, 0.0, t)[0] for t in (BETA_BINOMIAL, LOGIT_NORMAL)])
        # 3,000 trials on either side: two of their standard errors above the two points.
        assert claimed == pytest.approx(power, abs=0.04)
        assert sum(found((takes[0], takes[0]), icc, 0.4, LOGIT_NORMAL)) <= 0.085
