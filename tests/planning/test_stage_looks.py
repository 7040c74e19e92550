"""What a two-stage rule does, by the true take, held against other ways to work it out."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

import takestats as ts
from takestats.planning.stage_looks import chances_by_take


def test_single_grafts_by_hand() -> None:
    rule = ts.two_stage(0.7, 0.9)  # first 6, drop at 4; 27 in all, give up at 22
    row = chances_by_take(rule, [0.8]).iloc[0]
    dropped = stats.binom.cdf(4, 6, 0.8)
    kept = sum(stats.binom.pmf(k, 6, 0.8) * stats.binom.sf(22 - k, 21, 0.8) for k in (5, 6))
    assert row["dropped"] == pytest.approx(dropped, rel=1e-12)
    assert row["kept"] == pytest.approx(kept, rel=1e-12)
    assert row["expected_grafts"] == pytest.approx(6 + (1 - dropped) * 21, rel=1e-12)


def test_the_rule_s_own_takes_have_its_own_chances() -> None:
    rule = ts.two_stage(0.7, 0.9, icc=0.1, tray_size=12)
    table = chances_by_take(rule)
    for take, kept in ((0.7, rule.size), (0.9, rule.power)):
        mine = table[np.isclose(table["take"], take)]
        assert mine["kept"].tolist() == [pytest.approx(kept, rel=1e-9)]
    assert (table["kept"].diff().dropna() >= 0).all()
    assert (table["dropped"].diff().dropna() <= 0).all()


def test_whole_trays_by_simulation() -> None:
    rule = ts.two_stage(0.7, 0.9, icc=0.1, tray_size=12)
    rng = np.random.default_rng(11)
    trials, trays = 40_000, rule.total // 12
    c = 1 / 0.1 - 1
    counts = rng.binomial(12, rng.beta(0.85 * c, 0.15 * c, (trials, trays)))
    first = counts[:, : rule.first // 12].sum(axis=1)
    dropped = (first <= rule.drop_at_or_below).mean()
    row = chances_by_take(rule, [0.85]).iloc[0]
    # The rule averages over two models, of which this is one: near, not the same.
    assert row["dropped"] == pytest.approx(dropped, abs=0.03)
