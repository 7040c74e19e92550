"""The order held against wood, understock and days: what fits, what is short, which week."""

from __future__ import annotations

from typing import Any

import pytest

from takestats.errors import SettingsError, UnknownLevelError
from takestats.order.order_result import UnderstockOrder
from takestats.order.understock_order import understock_order
from tests.order.small_orders import LAMP, MOTH, TRIAL, order, records

PAIR = "Acer rubrum 'Ember' on Acer rubrum"


def placed(**work: Any) -> UnderstockOrder:
    return understock_order(records(), settings=TRIAL | {"work": TRIAL["work"] | work})


def typed(**work: Any) -> UnderstockOrder:
    return understock_order({PAIR: (0.6, 0.7, 0.8)}, {PAIR: 120}, settings={"work": work})


def test_an_order_that_fits_meets_every_target_with_the_grafts_ordered() -> None:
    fitted = order().fitted
    assert fitted is not None
    assert fitted.met
    assert fitted.combinations["grafts"].tolist() == order().table["grafts"].tolist()
    assert fitted.combinations["saleable"].tolist() == pytest.approx([200, 150], abs=1e-6)
    assert order().weeks["grafts"].sum() == order().table["grafts"].sum()


def test_weeks_are_filled_from_the_first_on_and_none_holds_more_than_it_can() -> None:
    fitted = order().fitted
    assert fitted is not None
    days = fitted.limits[fitted.limits["kind"] == "days"]
    assert (days["left"] >= 0).all()
    used = [i for i, grafts in enumerate(days["used"]) if grafts]
    assert used == list(range(len(used)))
    assert (days["left"].iloc[: used[-1]] == 0).all()
    assert days["most"].max() == order().days["grafts_a_week"].iloc[0]


def test_the_year_of_the_window_is_that_of_the_season_after_the_newest() -> None:
    newest = max(str(season) for season in records().trays["season"])
    year = int(newest[:4]) + (2 if len(newest) > 4 else 1)
    assert f"January {year}" in order().weeks["week"].iloc[0]
    assert any(f"taken to start in {year}" in note for note in order().notes)
    summer = placed(window="late July to late August")
    assert f"July {year - 1}" in summer.weeks["week"].iloc[0]
    own = placed(window_year=2031)
    assert "January 2031" in own.weeks["week"].iloc[0]
    dated = placed(window="2029-01-04 to 2029-03-12")
    assert dated.weeks["week"].iloc[0] == "week of 4 January 2029"
    for found in (own, dated):
        assert not any("taken to start" in note for note in found.notes)


def test_days_that_run_out_are_told_with_the_days_that_would_do() -> None:
    found = placed(window="2029-01-08 to 2029-01-12", grafts_a_day=60)
    assert found.fitted is not None
    assert not found.fitted.met
    assert set(found.fitted.combinations["limits"]) <= {"", "days"}
    grafts = int(found.table["grafts"].sum())
    assert found.weeks["grafts"].sum() == 240
    row = found.fitted.lifted.iloc[0]
    assert (row["kind"], row["more"]) == ("days", grafts - 240)


def test_understocks_by_class_limit_their_sum_and_tell_the_class_that_is_short() -> None:
    found = placed(understocks="virginiana thin 60, virginiana stout 1000")
    classes = found.understocks.set_index("caliper_class")
    assert classes.loc["thin", "to_be_had"] == 60.0
    assert classes.loc["thin", "short"] == classes.loc["thin", "understocks"] - 60
    assert classes.loc["stout", "short"] == 0.0
    assert found.seedlings["to_be_had"].tolist() == [1060.0]
    assert found.fitted is not None
    assert found.fitted.met
    few = placed(understocks="virginiana 300")
    assert few.fitted is not None
    assert set(few.fitted.combinations["limits"]) - {""} == {"understock"}
    assert few.weeks["grafts"].sum() == 300


def test_wood_that_is_enough_in_both_kinds_leaves_the_order_as_it_is() -> None:
    """A quarter of the wood on record is sub-terminal: no more of it here, so nothing changes."""
    grafts = order().table.set_index("combination")["grafts"]
    terminal = int(grafts[MOTH]) - int(grafts[MOTH]) // 5
    found = placed(terminal_pieces={"moth": terminal, "lamp": 900})
    assert found.fitted is not None
    assert found.fitted.met
    assert found.fitted.combinations["grafts"].tolist() == [grafts[MOTH], grafts[LAMP]]
    assert not any("reckoned to take less" in note for note in found.notes)


def test_more_sub_terminal_wood_than_on_record_is_reckoned_lower_if_it_took_less() -> None:
    found = placed(terminal_pieces={"moth": 50, "lamp": 900})
    gap = found.wood_difference
    assert gap is not None
    table = found.table.set_index("combination")
    made = found.weeks[found.weeks["combination"] == MOTH].groupby("wood").sum(numeric_only=True)
    rate = made["saleable"] / made["grafts"]
    terminal = 200 / table.loc[MOTH, "grafts"]
    assert rate["terminal"] == pytest.approx(terminal)
    # A quarter of the grafts on record are of sub-terminal wood (tests/order/small_orders.py).
    lower = 1.0 + 0.75 * min(0.0, gap.difference) / table.loc[MOTH, "expected_take"]
    assert rate["sub_terminal"] == pytest.approx(terminal * lower)


def test_a_piece_more_in_a_graft_makes_the_wood_enough_for_fewer() -> None:
    found = placed(pieces_a_graft="moth 2", terminal_pieces="moth 101, lamp 900",
                   sub_terminal_pieces="moth 0")  # fmt: skip
    assert found.fitted is not None
    made = found.weeks[found.weeks["combination"] == MOTH]
    assert made["grafts"].sum() == 50
    assert any("told as the grafts" in note for note in found.notes)


def test_no_limit_is_said_and_none_is_invented() -> None:
    found = typed()
    assert found.fitted is None
    assert found.weeks.empty
    assert found.sentences[1] == (
        "No limit of wood, understock or days was given, so whether the order fits is not known."
    )


def test_nothing_to_be_had_is_an_order_of_which_nothing_can_be_made() -> None:
    found = typed(understocks=0)
    assert found.weeks.empty
    assert found.fitted is not None
    assert found.fitted.combinations["short"].tolist() == [120.0]
    assert found.fitted.lifted["more"].tolist()[0] == found.table["grafts"][0]


def test_wood_alone_is_a_limit_without_weeks() -> None:
    found = typed(terminal_pieces=80, sub_terminal_pieces=20)
    assert found.fitted is not None
    assert not found.fitted.met
    assert found.weeks["week"].unique().tolist() == ["weeks not recorded"]
    assert any(
        note == "No plan by weeks, and days are not a limit: the window, grafts a day and grafting "
        "days a week not recorded."
        for note in found.notes
    )


def test_a_window_without_a_year_and_without_records_asks_for_one() -> None:
    work = {"window": "January to March", "grafts_a_day": 100, "days_a_week": 5}
    with pytest.raises(SettingsError) as told:
        typed(**work)
    assert "window_year = 2027" in told.value.next_step
    assert "January 2027" in typed(**work, window_year=2027).weeks["week"].iloc[0]


def test_a_window_in_other_words_and_an_unknown_understock_are_refused() -> None:
    with pytest.raises(SettingsError, match="after the frost"):
        placed(window="after the frost")
    with pytest.raises(SettingsError, match="holds no grafting day"):
        placed(window="2027-01-09 to 2027-01-10")
    with pytest.raises(UnknownLevelError, match="virginiania"):
        placed(understocks={"virginiania": 5})
