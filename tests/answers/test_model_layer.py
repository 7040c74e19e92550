"""Which layer a fit has: units counted by hand, the spread of planted blocks."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import special

import takestats as ts
from takestats.answers.model_layer import model_layer


def _records(**columns: object) -> ts.Records:
    frame = pd.DataFrame(columns).assign(season="2026", grafted=40, count_date="2026-06-15")
    if "tray" not in columns:
        frame["tray"] = [f"T{i:02d}" for i in range(len(frame))]
    return ts.records_from_frame(frame)


def test_trays_alone_have_no_layer() -> None:
    model = ts.fit_take(_records(taken=[30, 35, 38, 36], method=["a cut", "b cut"] * 2), ["method"])
    assert model_layer(model) is None


def test_blocks_are_counted_for_each_level() -> None:
    """Six blocks of two trays; the donor goes by whole blocks, the method does not."""
    records = _records(
        taken=[30, 35, 38, 36, 31, 33, 29, 37, 36, 35, 32, 38],
        block=list("AABBCCDDEEFF"),
        method=["a cut", "b cut"] * 6,
        donor=["east"] * 8 + ["west"] * 4,
    )
    layer = model_layer(ts.fit_take(records, ["method", "donor"]))
    assert layer is not None
    assert layer.table[["level", "units", "trays", "whole"]].to_numpy().tolist() == [
        ["a cut", 6, 6, False],
        ["b cut", 6, 6, False],
        ["east", 4, 8, True],
        ["west", 2, 4, True],
    ]
    assert layer.column == "block"


def test_planted_blocks_have_their_spread_within_the_limits() -> None:
    """SD .8 planted over 20 blocks of 4 trays of 40 grafts: 95 % limits hold it for this seed."""
    rng = np.random.default_rng(6)
    odds = 1.0 + np.repeat(rng.normal(0.0, 0.8, 20), 4)
    blocks = np.repeat([f"B{i}" for i in range(20)], 4)
    model = ts.fit_take(_records(taken=rng.binomial(40, special.expit(odds)), block=blocks), [])
    layer = model_layer(model)
    assert layer is not None
    row = layer.spread.iloc[0]
    assert row["low"] < 0.8 < row["high"]
    assert row["high"] - row["low"] < 0.9


@pytest.mark.parametrize(("drawn", "what"), [("tray", ["tray", "row"]), ("graft", ["tray"])])
def test_rows_drawn_graft_by_graft_have_no_spread_of_their_own(drawn: str, what: list) -> None:
    rng = np.random.default_rng(2)
    frame = pd.DataFrame({"tray": np.repeat(range(8), 2), "method": ["a cut", "b cut"] * 8})
    frame = frame.assign(season="2026", grafted=20, taken=rng.binomial(20, 0.8, 16))
    records = ts.records_from_frame(frame, trial={"trial": {"randomised": drawn}})
    layer = model_layer(ts.fit_take(records, ["method"]))
    assert layer is not None
    assert layer.layer == "rows"
    assert layer.spread["what"].tolist() == what
