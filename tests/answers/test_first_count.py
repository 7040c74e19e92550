"""The fall from the first count: counted again from the files, and held against its own truth."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import stats

import takestats as ts
from takestats.answers.first_count import first_against_settled
from takestats.answers.stages import quick_limits
from tests.answers.demo_counts import counts_of, demo_records


@pytest.mark.parametrize("season", ["2023-24", "2024-25", "2025-26"])
def test_the_fall_again_from_the_files_tray_by_tray(season: str) -> None:
    first, settled = counts_of(season, "first"), counts_of(season, "settled")
    weights, falls = [], []
    for tray, row in settled.items():
        early = first[tray]
        made = int(row["grafted"]) - int(row["missing"])
        share = int(early["taken"]) / (int(early["grafted"]) - int(early["missing"]))
        weights.append(made)
        falls.append(share - int(row["taken"]) / made)
    found = first_against_settled(demo_records(), season=season).table.iloc[0]
    assert found["fall"] == pytest.approx(np.average(falls, weights=weights), rel=1e-12)
    assert found["trays"] == len(settled)
    assert found["grafts"] == sum(weights)
    assert found["rose_trays"] == sum(fall < 0 for fall in falls)
    # The paired differences of trays by t: with 38 trays and more both must tell the same story.
    mean, error = np.mean(falls), stats.sem(falls)
    half = stats.t.ppf(0.975, len(falls) - 1) * error
    assert found["low"] == pytest.approx(mean - half, abs=0.012)
    assert found["high"] == pytest.approx(mean + half, abs=0.012)


def test_what_it_says() -> None:
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": ["A", "A", "B", "B", "C", "D"],
            "count": ["first", "settled", "first", "settled", "settled", "first"],
            "count_date": ["2026-03-03", "2026-06-16"] * 2 + ["2026-06-16", "2026-03-04"],
            "grafted": 20,
            "taken": [19, 17, 18, 18, 2, 20],
        }
    )
    found = first_against_settled(ts.records_from_frame(frame))
    assert found.in_words() == (
        "Season 2026: take 92 % at the first count (3 March 2026), 88 % at the settled count (16 "
        "June 2026): 5 points (0.5 to 38) lower, 95 % confidence interval, in the 2 trays that "
        "record both, 40 grafts."
    )
    assert "buds push on food stored in the scion" in found.notes[1]


def test_nothing_to_say_without_a_first_count_and_no_column_is_invented() -> None:
    frame = pd.DataFrame({"season": ["2026"], "tray": ["A"], "grafted": [9], "taken": [5]})
    found = first_against_settled(ts.records_from_frame(frame))
    assert found.table.empty
    assert found.sentences == ()
    with pytest.raises(ts.UnknownColumnError):
        first_against_settled(ts.records_from_frame(frame), "metod")


@pytest.mark.parametrize(("trays", "size", "take"), [(3, 12, 0.95), (5, 30, 0.85), (20, 12, 0.95)])
def test_the_interval_holds_a_true_fall_in_simulated_trays(
    trays: int, size: int, take: float
) -> None:
    """Three settings of the study told in the docstring; a t interval held 40, 90 and 86."""
    rng = np.random.default_rng(3)
    a, b = take * (1 / 0.05 - 1), (1 - take) * (1 / 0.05 - 1)
    held, held_by_t, runs = 0, 0, 300
    true = 0.3 * (1 - take)
    for _ in range(runs):
        settled = rng.binomial(size, rng.beta(a, b, trays))
        fell = rng.binomial(size - settled, 0.3).astype(float)
        _, low, high = quick_limits(
            fell,
            np.full(trays, float(size)),
            np.zeros(trays, dtype=np.int64),
            np.arange(trays),
            1,
            0.95,
            trays_recorded=True,
        )[0]
        held += low <= true <= high
        share = fell / size
        half = stats.t.ppf(0.975, trays - 1) * share.std(ddof=1) / np.sqrt(trays)
        held_by_t += abs(share.mean() - true) <= half
    assert held / runs >= 0.95 - 3 * np.sqrt(0.95 * 0.05 / runs)
    assert held > held_by_t
