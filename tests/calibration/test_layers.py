"""The rows of blocks and of several rows in a tray: settings, truth, bars, a few trials."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from tests.calibration.blocks import block_bars, block_settings, judge_blocks
from tests.calibration.several_rows import draw_takes, judge_rows, rows_bars, rows_settings
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

SEED = 78


def test_the_settings_are_those_that_were_promised() -> None:
    blocks = block_settings()
    assert {s.blocks for s in blocks} == {3, 6}
    assert {s.between for s in blocks} == {0.4, 0.8}
    rows = rows_settings()
    assert {s.trays for s in rows} >= {3, 5, 10, 20}
    assert {s.size for s in rows} == {6, 12, 20}
    assert {s.own for s in rows} == {0.0, 0.4}
    assert {s.truth for s in rows} == {BETA_BINOMIAL, LOGIT_NORMAL}


@pytest.mark.parametrize("index", [1, 15, 16, 21])
def test_the_truth_is_what_it_says(index: int) -> None:
    setting = rows_settings()[index]
    rng = np.random.default_rng(1)
    takes = np.concatenate([draw_takes(rng, setting) for _ in range(40_000 // setting.trays)])
    np.testing.assert_allclose(takes.mean(axis=0), setting.takes, atol=0.004)
    mean = takes.mean(axis=0)
    icc = takes.var(axis=0) / (mean * (1.0 - mean))
    assert icc.mean() == pytest.approx(setting.icc, rel=0.06)


def test_bars_are_met_or_not() -> None:
    blocks = [judge_blocks(block_settings()[i], 1, (SEED, i)) for i in (0, 18)]
    frame = pd.DataFrame(blocks).assign(seed=SEED, index=[0, 18])
    names = [c for c in frame.columns if c.endswith("_coverage")]
    good = frame.assign(**dict.fromkeys(names, 0.95), to_ungrouped=[np.nan, 0.8])
    assert all(verdict.met for verdict in block_bars(good))
    bad = frame.assign(**dict.fromkeys(names, 0.90), to_ungrouped=[np.nan, 1.1])
    assert sum(not verdict.met for verdict in block_bars(bad)) == 3
    rows = [judge_rows(rows_settings()[i], 1, (SEED, i)) for i in (0, 15, 20, 23)]
    frame = pd.DataFrame(rows).assign(seed=SEED, index=[0, 15, 20, 23])
    names = [c for c in frame.columns if c.endswith("_coverage")]
    assert all(verdict.met for verdict in rows_bars(frame.assign(**dict.fromkeys(names, 0.95))))
    bad = frame.assign(**dict.fromkeys(names, 0.85))
    assert sum(not verdict.met for verdict in rows_bars(bad)) == 4
