"""The rows of groups and seasons: settings, truth, bars, and a subset of their trials."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from tests.calibration.grouping import (
    FLOOR,
    grouping_bars,
    grouping_settings,
    grouping_words,
    judge_grouping,
    layers_of,
)
from tests.calibration.new_season import (
    judge_new_season,
    new_season_bars,
    new_season_settings,
    pooled_season_bars,
    pooled_season_settings,
)
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

SEED = 77


def test_the_settings_are_those_that_were_promised() -> None:
    grouping = grouping_settings()
    assert {s.groups for s in grouping} == {5, 8, 12}
    assert {s.between for s in grouping} == {0.3, 0.6, 1.0}
    seasons = new_season_settings()
    assert {(s.between, s.seasons) for s in seasons} == {
        (between, number) for between in (0.3, 0.5, 0.8) for number in (1, 2, 3, 5)
    }
    assert {s.between for s in pooled_season_settings()} == {0.3, 0.5, 0.8}


@pytest.mark.parametrize("truth", [BETA_BINOMIAL, LOGIT_NORMAL])
def test_the_truth_is_what_it_says(truth: str) -> None:
    rng = np.random.default_rng(1)
    layers = layers_of(0.9, 0.6, 0.06, truth)
    theta = layers.middle + layers.between * rng.standard_normal(200_000)
    takes = layers.takes(theta[:20_000])
    assert takes.mean() == pytest.approx(0.9, abs=0.002)
    assert layers.trays(rng, theta).mean() == pytest.approx(0.9, abs=0.002)
    assert layers.chance_above(0.85) == pytest.approx(np.mean(takes >= 0.85), abs=0.01)
    assert layers.chance_above(0.0) == 1.0
    assert layers.chance_above(1.0) == 0.0


def test_bars_are_met_or_not() -> None:
    record = judge_grouping(grouping_settings()[13], 2, (SEED, 1)) | {"seed": SEED}
    frame = pd.DataFrame([record])
    good = frame.assign(each_coverage=0.955, new_share=0.91, to_unshrunk=0.7)
    assert all(verdict.met for verdict in grouping_bars(good))
    bad = frame.assign(each_coverage=0.90, new_share=0.80, to_unshrunk=0.9)
    assert sum(not verdict.met for verdict in grouping_bars(bad)) == 5
    assert "truly best" in grouping_words(frame)


def test_bars_of_seasons_are_met_or_not() -> None:
    one = judge_new_season(new_season_settings()[2], 2, (SEED, 2)) | {"seed": SEED}
    five = judge_new_season(pooled_season_settings()[0], 1, (SEED, 3)) | {"seed": SEED}
    for record, judged in ((one, new_season_bars), (five, pooled_season_bars)):
        frame = pd.DataFrame([record])
        assert all(verdict.met for verdict in judged(frame.assign(met_share=0.9)))
        assert not all(verdict.met for verdict in judged(frame.assign(met_share=0.8)))


@pytest.mark.calibration
@pytest.mark.parametrize("index", [1, 17, 22, 35])
def test_combinations_on_record_and_a_new_one_hold_the_truth(index: int) -> None:
    trials = 60
    setting = grouping_settings()[index]
    found = judge_grouping(setting, trials, (SEED, index))
    number = trials * setting.groups
    assert found["each_coverage"] >= FLOOR - 3.0 * np.sqrt(FLOOR * (1.0 - FLOOR) / number)
    assert found["new_share"] >= 0.84
    assert found["no_answer"] == 0


@pytest.mark.calibration
@pytest.mark.parametrize("index", [0, 4, 8])
def test_orders_by_the_pooled_limit_are_met(index: int) -> None:
    assert judge_new_season(pooled_season_settings()[index], 40, (SEED, index))["met_share"] >= 0.82
