"""What a fitted model says of itself: lines, coefficients, tray variation."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pandas as pd
import pytest

from takestats.answers.odds import odds_ratios
from takestats.models.fit import fit_take
from takestats.models.take_model import TakeModel
from tests.models.small_trials import bench, records_of, two_by_two, two_methods


@pytest.fixture(scope="module")
def model() -> TakeModel:
    return fit_take(records_of(two_methods()), ["method"])


@pytest.fixture(scope="module")
def cells() -> TakeModel:
    both = ["method", "scion_wood"]
    return fit_take(records_of(two_by_two()), both, interactions=[both])


def test_counts_behind_it(model: TakeModel) -> None:
    assert (model.trays, model.grafts) == (8, 290.0)
    assert model.count == "settled"
    assert model.count_dates == ("2026-06-15",)
    assert model.season == "2025-26"
    assert model.levels("method") == ["cleft", "side veneer"]


def test_it_is_frozen_and_hands_out_copies(model: TakeModel) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        model.seed = 2  # type: ignore[misc]
    lines = model.lines
    lines["taken"] = 0.0
    assert model.lines["taken"].sum() == 257
    table = model.coefficients.table
    table["low"] = 0.0
    assert (model.coefficients.table["low"] != 0.0).all()
    with pytest.raises(dataclasses.FrozenInstanceError):
        model.coefficients.notes = ()  # type: ignore[misc]


def test_a_result_can_be_compared_and_hashed(model: TakeModel) -> None:
    one = model.coefficients
    assert one == one
    assert len({one, model.tray_variation}) == 2


def test_coefficients_are_log_odds_ratios_against_the_reference(model: TakeModel) -> None:
    table = model.coefficients.table
    assert table.columns.tolist() == ["factor", "level", "against", "log_odds", "low", "high"]
    assert table.iloc[0, :3].tolist() == ["method", "side veneer", "cleft"]
    row = odds_ratios(model, "method").table.iloc[
        0
    ]  # cleft against side veneer: the other way round
    for mine, theirs in (("log_odds", "odds_ratio"), ("low", "high"), ("high", "low")):
        assert table[mine].iloc[0] == pytest.approx(-math.log(row[theirs]), abs=5e-3)


def test_an_interaction_reads_in_words(cells: TakeModel) -> None:
    table = cells.coefficients.table
    assert table["factor"].tolist() == ["method", "scion wood", "method by scion wood"]
    for text in table[["factor", "level", "against"]].to_numpy().ravel():
        for code in ("[T.", "C(", " ~ ", ":"):
            assert code not in text


def test_an_interaction_is_a_difference_of_differences(cells: TakeModel) -> None:
    # Raw log odds of the four cells: cleft 48, 41 and side veneer 57, 52 of 60 each.
    def logit(k: int) -> float:
        return math.log(k / (60 - k))

    raw = (logit(52) - logit(57)) - (logit(41) - logit(48))
    found = cells.coefficients.table.iloc[2]
    assert found["log_odds"] == pytest.approx(raw, abs=0.15)
    assert found["low"] < raw < found["high"]


def test_tray_variation_of_each_level_and_of_all(model: TakeModel) -> None:
    table = model.tray_variation.table
    assert table.columns.tolist() == ["level", "icc", "low", "high", "trays"]
    assert table["level"].tolist() == ["cleft", "side veneer", "all"]
    assert table["trays"].tolist() == [4, 4, 8]
    assert (table["low"] > 0).all()
    assert (table["low"] < table["icc"]).all()
    assert (table["icc"] < table["high"]).all()
    assert (table["high"] < 1).all()
    assert any("With 8 trays" in note for note in model.tray_variation.notes)


def test_levels_that_differ_in_spread_are_named() -> None:
    frame = bench({"cleft": [(18, 20)] * 12, "splice": [(20, 20), (4, 20)] * 6})
    notes = fit_take(records_of(frame), ["method"]).tray_variation.notes
    assert notes[0].startswith("splice trays are more uneven than cleft trays")
    even = bench({"cleft": [(18, 20)] * 12, "splice": [(17, 20)] * 12})
    notes = fit_take(records_of(even), ["method"]).tray_variation.notes
    assert not any("more uneven" in note for note in notes)


def test_more_trays_narrow_the_tray_variation() -> None:
    widths = []
    for times in (1, 4):
        frame = bench({"cleft": [(17, 20), (12, 20), (19, 20), (15, 20)] * times})
        row = fit_take(records_of(frame), []).tray_variation.table.iloc[0]
        widths.append(row["high"] - row["low"])
    assert widths[1] < 0.7 * widths[0]


def test_notes_carry_count_date_trays_grafts_and_share(model: TakeModel) -> None:
    said = " ".join(model.notes)
    for part in ("settled count", "2026-06-15", "8 trays, 290 grafts", "made less those missing"):
        assert part in said
    assert isinstance(model.coefficients.table, pd.DataFrame)
    assert np.isfinite(model.coefficients.table[["log_odds", "low", "high"]].to_numpy()).all()
