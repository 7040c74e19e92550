"""Plans keep what they claim: the twelve designs and their bars."""

from __future__ import annotations

import pandas as pd
import pytest

from tests.calibration.planning import CORRELATIONS, judge_planned, planned_designs, planning_bars


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
