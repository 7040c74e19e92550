"""How much grafters differ: a spread with a known truth, and never a name."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import special

import takestats as ts
from takestats.answers.grafter_spread import grafter_spread
from takestats.answers.group_takes import group_takes

NAMES = ["AB", "CD", "EF", "GH", "JK", "LM", "NO", "PQ"]


def records(spread: float, seed: int = 5) -> ts.Records:
    """Invented: eight grafters, six trays each, log odds at even normal places times a spread."""
    rng = np.random.default_rng(seed)
    steps = special.ndtri((np.arange(8) + 0.5) / 8)
    eta = np.repeat(1.8 + spread * steps / steps.std(), 6)
    frame = pd.DataFrame({"grafter": np.repeat(NAMES, 6), "season": "2026", "grafted": 40})
    frame["tray"] = [f"T{i:02d}" for i in range(len(frame))]
    frame["taken"] = rng.binomial(40, special.expit(eta))
    return ts.records_from_frame(frame.assign(count_date="2026-06-15"))


@pytest.mark.parametrize("spread", [0.0, 0.6])
def test_a_known_spread_lies_within_the_limits(spread: float) -> None:
    row = grafter_spread(ts.fit_take(records(spread), [], grouping="grafter")).table.iloc[0]
    # Half the distance between one step up and one down, at a take of expit(1.8) = 86 %.
    truth = (special.expit(1.8 + spread) - special.expit(1.8 - spread)) / 2
    assert row["low"] - 0.005 <= truth <= row["high"]
    assert row["grafters"] == 8
    assert row["trays"] == 48


def test_nobody_is_named_or_ranked() -> None:
    result = grafter_spread(ts.fit_take(records(0.6), [], grouping="grafter"))
    assert len(result.table) == 1
    told = " ".join((*result.sentences, *result.notes, *map(str, result.table.to_numpy()[0])))
    assert not any(name in told.split() for name in NAMES)
    assert result.sentences[0].startswith("About two thirds of grafters lie within ")


def test_the_spread_is_that_of_the_grouping() -> None:
    model = ts.fit_take(records(0.6), [], grouping="grafter")
    between = group_takes(model).between.loc[0, "standard_deviation"]
    take = float(ts.take_rates(model, None).table.loc[0, "take_rate"])
    odds = np.log(take / (1 - take))
    steps = 1 / (1 + np.exp(-np.array([odds + between, odds - between])))
    found = grafter_spread(model).table.loc[0, "spread_points"]
    assert found == pytest.approx((steps[0] - steps[1]) / 2, abs=1e-6)


def test_without_grafters_as_blocks_it_is_refused() -> None:
    with pytest.raises(ts.DesignError, match="grafters are no grouping"):
        grafter_spread(ts.fit_take(records(0.0), []))
