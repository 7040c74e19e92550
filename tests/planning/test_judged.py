"""Are planned trials judged as the report would judge them?"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.planning.judged import judged, plan_grid
from takestats.planning.question import Kind, Question
from takestats.planning.simulated import simulated_counts


def bench(a: np.ndarray, b: np.ndarray, size: int) -> pd.DataFrame:
    methods = ["cleft"] * a.size + ["side veneer"] * b.size
    return pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i:02d}" for i in range(a.size + b.size)],
            "method": methods,
            "grafted": size,
            "taken": np.concatenate([a, b]),
            "count_date": "2026-06-15",
        }
    )


@pytest.mark.parametrize(
    ("kind", "take_a", "take_b", "margin"),
    [("tell_apart", 0.7, 0.9, 0.0), ("no_worse", 0.85, 0.9, 0.12)],
)
def test_the_verdict_is_that_of_the_report(
    kind: Kind, take_a: float, take_b: float, margin: float
) -> None:
    question = Question(kind=kind, take_a=take_a, take_b=take_b, margin=margin, tray_size=20)
    counts = simulated_counts(question, 6, (0.08, 0.08), 14, (11,))
    verdicts = judged(question, counts, 0.08)
    clear = 0
    for index in range(14):
        frame = bench(counts[0][index], counts[1][index], 20)
        model = ts.fit_take(ts.records_from_frame(frame), ["method"], grouping=None)
        gap = ts.differences(model, "method", pairs=[("cleft", "side veneer")]).table.iloc[0]
        if abs(float(gap["high"]) - margin) < 0.002:
            continue  # on the edge: the last digit of the grid decides
        clear += 1
        assert bool(verdicts.found[index]) == bool(gap["high"] < margin)
    assert clear > 10
    assert 0.1 < verdicts.found.mean() < 0.9


def test_the_right_direction_is_asked_for() -> None:
    up = Question(kind="tell_apart", take_a=0.6, take_b=0.95, tray_size=20)
    down = Question(kind="tell_apart", take_a=0.95, take_b=0.6, tray_size=20)
    counts = simulated_counts(up, 8, (0.05, 0.05), 40, (2,))
    there, back = judged(up, counts, 0.05), judged(down, (counts[1], counts[0]), 0.05)
    assert np.array_equal(there.found, back.found)
    assert np.array_equal(judged(down, counts, 0.05).against, there.found)


def test_several_methods_against_a_standard_are_harder() -> None:
    two = Question(kind="tell_apart", take_a=0.7, take_b=0.9, tray_size=20)
    four = Question(kind="tell_apart", take_a=0.7, take_b=0.9, tray_size=20, arms=4)
    assert four.tail == pytest.approx(two.tail / 3.0)
    assert (two.grafts(5), four.grafts(5)) == (200, 400)
    counts = simulated_counts(two, 6, (0.05, 0.05), 400, (2,))
    easy, hard = judged(two, counts, 0.05), judged(four, counts, 0.05)
    assert not np.any(hard.found & ~easy.found)
    assert hard.found.sum() < easy.found.sum()


def test_the_grid_is_fine_enough_for_many_grafts_and_reaches_low_takes() -> None:
    few = Question(kind="tell_apart", take_a=0.8, take_b=0.9, tray_size=20)
    assert plan_grid(few, 200, 0.02).step < 0.5 * plan_grid(few, 3, 0.02).step
    low = Question(kind="tell_apart", take_a=0.08, take_b=0.96, tray_size=20)
    assert plan_grid(low, 3, 0.1).low == 0.0


def test_equal_trials_are_judged_once_and_alike() -> None:
    question = Question(kind="tell_apart", take_a=0.8, take_b=0.95, tray_size=12)
    counts = simulated_counts(question, 3, (0.05, 0.05), 300, (9,))
    together = judged(question, counts, 0.05).found
    apart = [
        bool(judged(question, (counts[0][i : i + 1], counts[1][i : i + 1]), 0.05).found[0])
        for i in range(0, 300, 10)
    ]
    assert together[::10].tolist() == apart
