"""Shrunk takes of a grouping: what stands in the table and what is said of it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from takestats.answers.group_takes import GroupTakes, group_takes
from takestats.answers.rates import take_rates
from takestats.errors import CountsError, DesignError
from takestats.models.fit import fit_take
from takestats.records.read import records_from_frame
from tests.answers.grouped_trials import donors_frame, grouped_model
from tests.models.small_trials import records_of, two_methods

DONORS = [[36, 38], [30, 33, 31], [39, 40], [26, 30, 28], [40, 40], [35, 33]]


def takes(counts: list[list[int]] = DONORS, level: float = 0.95) -> GroupTakes:
    return group_takes(
        grouped_model(records_from_frame(donors_frame(counts)), "donor"), level=level
    )


def test_every_level_stands_with_its_own_trays_beside() -> None:
    table = takes().table
    assert table.columns.tolist() == [
        "donor",
        "take_rate",
        "low",
        "high",
        "shrunk_by",
        "unshrunk_take",
        "unshrunk_low",
        "unshrunk_high",
        "trays",
        "grafts",
        "raw_rate",
    ]
    assert table["donor"].tolist() == [f"donor {i}" for i in range(1, 7)]
    assert table["trays"].tolist() == [len(counts) for counts in DONORS]
    assert table["raw_rate"].tolist() == [sum(c) / (40 * len(c)) for c in DONORS]
    assert (table["low"] < table["take_rate"]).all()
    assert (table["take_rate"] < table["high"]).all()
    assert table["shrunk_by"].between(0.0, 1.0).all()
    assert not table.isna().any().any()


def test_unshrunk_takes_are_those_of_the_factor() -> None:
    records = records_from_frame(donors_frame(DONORS))
    rates = take_rates(fit_take(records, ["donor"]), "donor").table
    table = takes().table
    for shrunk, factor in (
        ("unshrunk_take", "take_rate"),
        ("unshrunk_low", "low"),
        ("unshrunk_high", "high"),
    ):
        assert table[shrunk].tolist() == rates[factor].tolist()


def test_shrinking_draws_to_the_middle_and_narrows() -> None:
    table = takes().table
    assert np.ptp(table["take_rate"]) < np.ptp(table["unshrunk_take"])
    shrunk, own = table["high"] - table["low"], table["unshrunk_high"] - table["unshrunk_low"]
    assert shrunk.mean() < own.mean()
    assert table["take_rate"].rank().tolist() == table["unshrunk_take"].rank().tolist()


def test_all_taken_and_none_taken_have_no_bound_of_their_own() -> None:
    table = takes([[40, 40], [0, 0], [20, 22], [31, 30], [36, 38]]).table
    assert table["unshrunk_high"].iloc[0] == 1.0
    assert table["unshrunk_low"].iloc[1] == 0.0
    assert not table.isna().any().any()


def test_a_new_group_stands_apart_and_is_wider() -> None:
    found = takes()
    new = found.new_group
    assert new.columns.tolist() == ["take_rate", "low", "high"]
    assert len(new) == 1
    width = float((new["high"] - new["low"]).iloc[0])
    assert width > (found.table["high"] - found.table["low"]).mean()
    new["low"] = 0.5
    assert found.new_group["low"].iloc[0] != 0.5
    assert found.between["standard_deviation"].iloc[0] > 0.0


def test_a_lower_level_is_narrower() -> None:
    wide, narrow = takes().table, takes(level=0.8).table
    assert ((narrow["low"] > wide["low"]) & (narrow["high"] < wide["high"])).all()


def test_under_five_groups_it_rests_on_an_assumed_spread() -> None:
    few, many = takes(DONORS[:4]), takes()
    assert sum("rests on an assumed spread" in note for note in few.notes) == 1
    assert not any("rests on an assumed spread" in note for note in many.notes)


def test_it_is_said_when_to_read_which() -> None:
    found = takes()
    assert any("somebody named" in note and "unshrunk" in note for note in found.notes)
    assert found.sentences[0].startswith("donor 1: ")
    assert "from its own trays alone" in found.sentences[0]
    assert found.sentences[-1].startswith("A new donor of this kind, not yet tried: ")


def test_without_trays_they_are_not_counted() -> None:
    frame = donors_frame(DONORS).drop(columns="tray")
    records = records_from_frame(frame, trial={"records": {"trays": "none"}})
    found = group_takes(grouped_model(records, "donor"))
    assert all(math.isnan(value) for value in found.table["trays"])
    assert "trays not recorded" in found.in_words()


def test_a_model_without_a_grouping_is_refused() -> None:
    model = fit_take(records_of(two_methods()), ["method"])
    with pytest.raises(DesignError, match="the model has no grouping"):
        group_takes(model)
    with pytest.raises(CountsError):
        group_takes(model, level=95)
