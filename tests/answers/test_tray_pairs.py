"""Two trays treated alike: held to closed forms of order statistics and to simulated trays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from takestats.answers.tray_pairs import tray_pairs
from takestats.models.fit import fit_take
from takestats.models.take_model import TakeModel
from takestats.models.tray_draws import TrayDraws
from takestats.records.read import records_from_frame


def season(take: float, icc: float, trays: int, grafts: int, seed: int) -> TakeModel:
    random = np.random.default_rng(seed)
    size = (1 - icc) / icc
    rates = random.beta(take * size, (1 - take) * size, trays)
    frame = pd.DataFrame(
        {
            "season": "2026",
            "tray": [f"T{n}" for n in range(trays)],
            "grafted": grafts,
            "taken": random.binomial(grafts, rates),
        }
    )
    return fit_take(records_from_frame(frame), [])


class _Known:
    """A belief that is sure of one take and one correlation."""

    def __init__(self, take: float, correlation: float) -> None:
        self.draws = (take, correlation)

    def tray_draws(self, patterns: object) -> TrayDraws:
        del patterns
        take, correlation = self.draws
        return TrayDraws(
            takes=np.full((40_000, 1), take), correlations=np.full((40_000, 1), correlation)
        )


@pytest.mark.parametrize(("take", "icc"), [(0.87, 0.08), (0.5, 0.2), (0.95, 0.03)])
def test_against_the_closed_form_of_the_lesser_and_the_greater_of_two(
    take: float, icc: float
) -> None:
    """P(min <= x) = 1 - (1 - F)^2, P(max <= x) = F^2 (David & Nagaraja 2003, 2.1, from memory)."""
    model = replace(season(0.9, 0.1, 6, 30, 1), belief=_Known(take, icc))  # type: ignore[arg-type]
    row = tray_pairs(model).table.iloc[0]
    size = (1 - icc) / icc
    beta = stats.beta(take * size, (1 - take) * size)
    assert row["poorer"] == pytest.approx(beta.ppf(1 - 0.5**0.5), abs=0.006)
    assert row["better"] == pytest.approx(beta.ppf(0.5**0.5), abs=0.006)


def test_a_known_truth_is_found_from_many_trays() -> None:
    """Simulated: 150 trays of 60 grafts, take .85, intra-tray correlation .10, seed 5."""
    row = tray_pairs(season(0.85, 0.10, 150, 60, 5)).table.iloc[0]
    beta = stats.beta(0.85 * 9, 0.15 * 9)
    pairs = beta.rvs((200_000, 2), random_state=1)
    apart = np.abs(pairs[:, 0] - pairs[:, 1])
    assert row["poorer"] == pytest.approx(np.median(pairs.min(axis=1)), abs=0.025)
    assert row["better"] == pytest.approx(np.median(pairs.max(axis=1)), abs=0.025)
    assert row["apart_wide"] == pytest.approx(np.quantile(apart, 0.9), abs=0.04)


def test_it_is_said_in_words_and_the_same_each_time() -> None:
    first, second = (tray_pairs(season(0.85, 0.1, 10, 30, 3)) for _ in range(2))
    assert first.in_words() == second.in_words()
    assert first.in_words().startswith("Of two trays treated alike, one may take ")
    row = first.table.iloc[0]
    assert row["poorer"] < row["better"]
    assert row["apart"] < row["apart_wide"]


def test_without_trays_it_is_not_recorded() -> None:
    frame = pd.DataFrame({"season": ["2026"], "grafted": [40], "taken": [30]})
    records = records_from_frame(frame, trial={"records": {"trays": "none"}})
    found = tray_pairs(fit_take(records, []))
    assert found.table.empty
    assert "not recorded" in found.in_words()
