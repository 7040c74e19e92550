"""Which layer a fit gets, what it says of it, and what it does when there is none."""

from __future__ import annotations

import pandas as pd
import pytest

from takestats.answers.gaps import differences
from takestats.answers.group_takes import group_takes
from takestats.answers.rates import take_rates
from takestats.errors import DesignError, UnknownColumnError
from takestats.models.fit import fit_take
from takestats.models.layers import Layers, find_layers
from tests.models.small_trials import records_of

TAKEN = [34, 28, 38, 33, 25, 20, 36, 30, 39, 37, 30, 22]


def trays(**columns: list[str]) -> pd.DataFrame:
    """Twelve invented trays of 40: methods in turn."""
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i + 1:02d}" for i in range(12)],
            "method": ["side veneer", "cleft"] * 6,
            "grafted": 40,
            "taken": TAKEN,
            "count_date": "2026-06-15",
        }
    )
    return frame.assign(**columns)


IN_PAIRS = [f"B{i // 2 + 1}" for i in range(12)]
BY_METHOD = [f"B{i % 2 + 1 + 2 * (i // 6)}" for i in range(12)]


def found(frame: pd.DataFrame, grouping: str | None = "auto") -> Layers:
    table = records_of(frame).trays
    return find_layers(table, ["method"], [], grouping=grouping, trays_recorded=True)


def test_a_recorded_block_is_a_layer_and_both_methods_in_it_cancel_it() -> None:
    records = records_of(trays(block=IN_PAIRS))
    inside = fit_take(records, ["method"])
    apart = fit_take(records, ["method"], grouping=None)
    assert inside.grouping == "block"
    assert apart.grouping is None
    assert any("a layer of 6 blocks above the trays" in note for note in inside.notes)
    assert any("it was switched off" in note for note in apart.notes)
    width = {}
    for name, model in (("inside", inside), ("apart", apart)):
        row = differences(model, "method").table.iloc[0]
        width[name] = row["high"] - row["low"]
    # These trays rise and fall by pairs: the pair is taken out of the difference.
    assert width["inside"] < 0.9 * width["apart"]


def test_a_method_given_to_whole_blocks_is_counted_by_blocks() -> None:
    records = records_of(trays(block=BY_METHOD))
    model = fit_take(records, ["method"])
    said = " ".join(model.notes)
    assert "so the block is its unit: 2 blocks of side veneer and 2 blocks of cleft." in said
    assert "With fewer than three blocks a level, these blocks cannot tell method" in said
    alone = fit_take(records, ["method"], grouping=None)
    wide = differences(model, "method").table.iloc[0]
    narrow = differences(alone, "method").table.iloc[0]
    assert wide["high"] - wide["low"] > narrow["high"] - narrow["low"]


def test_days_are_a_layer_where_trays_share_them_and_no_date_is_asked_about() -> None:
    days = [f"2026-02-{2 + i // 2:02d}" for i in range(12)]
    frame = trays(graft_date=days)
    assert found(frame).column == "graft_date"
    table = records_of(frame).trays
    assert not find_layers(
        table, ["method"], ["day_of_season"], grouping="auto", trays_recorded=True
    ).column
    own = trays(graft_date=[f"2026-02-{2 + i:02d}" for i in range(12)])
    assert found(own).notes == ()
    assert not found(own).column


@pytest.mark.parametrize(
    ("blocks", "why"),
    [
        ([f"B{i}" for i in range(12)], "no two blocks have two trays or more"),
        (["B1"] * 12, "one block only"),
        ([*IN_PAIRS[:11], ""], "it is blank on 1 line"),
    ],
)
def test_a_block_that_cannot_be_a_layer_is_said(blocks: list[str], why: str) -> None:
    layers = found(trays(block=blocks))
    assert not layers.column
    assert len(layers.notes) == 1
    assert why in layers.notes[0]


def test_blocks_of_two_seasons_are_not_the_same_blocks() -> None:
    frame = trays(block=IN_PAIRS, season=["2024-25"] * 6 + ["2025-26"] * 6).drop(
        columns="count_date"
    )
    frame["block"] = [f"B{i // 2 % 3 + 1}" for i in range(12)]
    assert len(set(found(frame).units)) == 6


def test_two_methods_in_each_tray_are_rows_of_it() -> None:
    frame = trays()
    frame["tray"] = [f"T{i // 2 + 1:02d}" for i in range(12)]
    records = records_of(frame)
    model = fit_take(records, ["method"])
    assert any(note.startswith("Several rows in one tray:") for note in model.notes)
    gap = differences(model, "method").table.iloc[0]
    assert gap["low"] < gap["difference"] < gap["high"]
    assert model.trays == 6


def test_grafts_drawn_one_by_one_leave_the_row_effect_out() -> None:
    frame = trays()
    frame["tray"] = [f"T{i // 2 + 1:02d}" for i in range(12)]
    records = records_of(frame, trial={"randomised": "graft"})
    said = " ".join(fit_take(records, ["method"]).notes)
    assert "grafts were drawn one by one" in said


def test_rows_in_trays_come_before_the_block() -> None:
    frame = trays(block=[f"B{i // 4 + 1}" for i in range(12)])
    frame["tray"] = [f"T{i // 2 + 1:02d}" for i in range(12)]
    layers = found(frame)
    assert layers.rows
    assert "one layer at a time" in layers.notes[0]


def test_a_grouping_by_itself_and_beside_a_factor() -> None:
    records = records_of(trays(donor=[f"bed {'ABCD'[i // 3]}" for i in range(12)]))
    alone = group_takes(fit_take(records, [], grouping="donor"))
    beside = group_takes(fit_take(records, ["method"], grouping="donor"))
    for result in (alone, beside):
        table = result.table
        assert sorted(table["donor"]) == ["bed A", "bed B", "bed C", "bed D"]
        assert ((table["low"] < table["take_rate"]) & (table["take_rate"] < table["high"])).all()
        assert table["shrunk_by"].between(0.0, 1.0).all()
        assert any("rests on an assumed spread" in note for note in result.notes)


def test_a_grouping_with_two_levels_is_a_factor_and_says_so() -> None:
    records = records_of(trays(donor=["bed A", "bed B", "bed B"] * 4))
    model = fit_take(records, ["method"], grouping="donor")
    assert model.factors == ("method", "donor")
    assert any("donor has 2 levels: taken as a factor" in note for note in model.notes)
    with pytest.raises(DesignError, match="no grouping"):
        group_takes(model)


def test_season_as_a_grouping_pools_nothing_silently() -> None:
    frame = trays(season=["2023-24"] * 4 + ["2024-25"] * 4 + ["2025-26"] * 4)
    frame = frame.drop(columns="count_date")
    model = fit_take(records_of(frame), ["method"], grouping="season")
    assert "season" not in model.factors
    assert model.grouping == "season"
    assert len(model.seasons) == 3
    rates = take_rates(model, "method")
    assert any("new season" in note for note in rates.notes)


def test_two_groupings_that_cross_are_both_told_and_said_to_be_approximate() -> None:
    frame = trays(
        donor=[f"bed {'ABCD'[i // 3]}" for i in range(12)], grafter=["AB", "CD", "EF"] * 4
    )
    model = fit_take(records_of(frame), ["method"], grouping=["donor", "grafter"])
    assert any("the limits are approximate" in note for note in model.notes)
    first, second = group_takes(model), group_takes(model, grouping="grafter")
    assert sorted(first.table["donor"]) == ["bed A", "bed B", "bed C", "bed D"]
    assert sorted(second.table["grafter"]) == ["AB", "CD", "EF"]
    for result in (first, second):
        assert result.table["shrunk_by"].between(0.0, 1.0).all()
        assert (result.table["low"] < result.table["high"]).all()
    with pytest.raises(UnknownColumnError, match="a grouping of this model"):
        group_takes(model, grouping="block")
