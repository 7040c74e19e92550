"""Do both methods in each tray get the limits that the report would give them?

The grid's prior is flat; the report's engine samples, and its prior looks at the pairing. Measured
over 64 trials of 5 to 20 trays: mean width ratio .993 to 1.005, no verdict differed.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.planning.judged import judged, plan_grid
from takestats.planning.paired import paired_cells, paired_posterior
from takestats.planning.question import Question
from takestats.planning.simulated import simulated_counts


def question(size: int, within: bool = True) -> Question:
    return Question(kind="tell_apart", take_a=0.8, take_b=0.9, tray_size=size, within_trays=within)


def test_limits_are_near_those_of_the_report() -> None:
    asked, trays = question(20), 8
    counts = simulated_counts(asked, trays, (0.15, 0.15), 3, (21,))
    posterior = paired_posterior(*counts, asked.sizes, plan_grid(asked, trays, 0.15))
    found = posterior.difference_limits((0.025, 0.975))
    for a, b, limits in zip(*counts, found, strict=True):
        frame = pd.DataFrame(
            {
                "season": "2025-26",
                "tray": [f"T{i:02d}" for i in np.repeat(np.arange(trays), 2)],
                "method": ["cleft", "side veneer"] * trays,
                "grafted": 10,
                "taken": np.column_stack([a, b]).ravel(),
                "count_date": "2026-06-15",
            }
        )
        model = ts.fit_take(ts.records_from_frame(frame), ["method"], grouping=None)
        gap = ts.differences(model, "method", pairs=[("cleft", "side veneer")]).table.iloc[0]
        width = float(gap["high"] - gap["low"])
        assert limits[1] - limits[0] == pytest.approx(width, rel=0.05)
        assert limits == pytest.approx([gap["low"], gap["high"]], abs=0.012)


def test_pairing_is_worth_more_the_more_trays_differ() -> None:
    gains = []
    for icc in (0.02, 0.25):
        powers = []
        for within in (True, False):
            asked = question(20 if within else 10, within)
            counts = simulated_counts(asked, 12, (icc, icc), 250, (5,))
            powers.append(float(judged(asked, counts, icc).found.mean()))
        gains.append(powers[0] - powers[1])
    assert gains[1] > gains[0] + 0.1


def test_an_odd_tray_gives_one_graft_more_to_the_standard() -> None:
    assert question(21).sizes == (11, 10)
    assert question(21).grafts(3) == 63


def test_the_table_stays_within_memory() -> None:
    for half in (3, 12, 30, 52):
        cells = paired_cells((half, half))
        assert cells * cells * (half + 1) ** 2 * 29 <= 61_000_000 or cells == 20
