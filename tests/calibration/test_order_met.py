"""The rows of orders: settings, truth, bars, and that the order is the one a grower gets."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from tests.calibration import order_met
from tests.calibration.order_met import (
    ASSURANCE,
    MEAN_BAR,
    OWN,
    POOLED_FLOOR,
    SHARED,
    TRAY_SIZE,
    WANTED,
    _bench,
    _counted,
    _grafts,
    judge_order,
    order_bars,
    order_settings,
    past_seasons,
    pooled_order_bars,
    pooled_order_settings,
)

SEED = 79


def test_the_settings_are_those_that_were_promised() -> None:
    assert {(s.between, s.seasons) for s in order_settings()} == {
        (between, number) for between in (0.3, 0.5, 0.8) for number in (1, 2, 3, 5)
    }
    assert len(order_settings()) == 12
    pooled = pooled_order_settings()
    assert {s.between for s in pooled} == {0.3, 0.5, 0.8}
    assert {s.block for s in pooled} == {OWN, SHARED}
    assert all(s.groups >= 4 for s in pooled)


def test_the_grafts_are_those_of_the_order() -> None:
    rng = np.random.default_rng(SEED)
    frame = _bench(rng, order_settings()[1])
    made = frame["grafted"].to_numpy()
    taken = rng.binomial(made, 0.85)
    records = _counted(ts.records_from_frame(frame), taken, rng.binomial(taken, 0.9))
    name = "Acer rubrum 'G1' on Acer rubrum"
    order = ts.understock_order(records, {name: WANTED}, assurance=ASSURANCE, tray_size=TRAY_SIZE)
    assert order.table["grafts"].tolist() == [_grafts(past_seasons(records), name)]


def test_bars_are_met_or_not(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(order_met, "_KNOWN_DRAWS", 500)
    one = judge_order(order_settings()[2], 2, (SEED, 2)) | {"seed": SEED}
    five = judge_order(pooled_order_settings()[0], 1, (SEED, 3)) | {"seed": SEED}
    for record, judged in ((one, order_bars), (five, pooled_order_bars)):
        assert record["grafts_a_plant"] > 1.0
        assert 0.0 <= record["raw_met_share"] <= 1.0
        frame = pd.DataFrame([record])
        assert all(verdict.met for verdict in judged(frame.assign(met_share=0.9)))
        assert not all(verdict.met for verdict in judged(frame.assign(met_share=0.8)))


@pytest.mark.calibration
def test_orders_of_one_combination_are_met() -> None:
    met = [judge_order(s, 60, (SEED, i))["met_share"] for i, s in enumerate(order_settings())]
    assert MEAN_BAR[0] - 0.01 <= float(np.mean(met)) <= MEAN_BAR[1] + 0.01


@pytest.mark.calibration
@pytest.mark.parametrize("index", [0, 4, 8])
def test_pooled_orders_are_met(index: int) -> None:
    met = judge_order(pooled_order_settings()[index], 40, (SEED, index))["met_share"]
    assert met >= POOLED_FLOOR - 0.03
