"""Cuttings and money on the page, and the models that must not see a cutting."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from takestats.pages.gather import gather
from takestats.pages.gathered import Gathered
from takestats.pages.money_topic import money_topic
from takestats.pages.parts import Cells, Points, Words
from takestats.pages.topic import Topic
from takestats.records.read import records_from_frame
from tests.pages.small_seasons import SETTINGS, rows

COSTS = {"currency": "EUR", "price": 6, "understock": 2.4, "grow on": "1, per taken, assumed"}


def gathered(trial: dict[str, object], *, cuttings: bool = True, floor: object = None) -> Gathered:
    frame = pd.DataFrame(rows()).assign(made_by="graft")
    frame["saleable"] = frame["taken"]
    scion = frame["scion"].iloc[0]
    if cuttings:
        struck = {"season": "2026", "made_by": "cutting", "scion": scion, "grafted": 40}
        struck |= {"taken": 3, "count_date": "2026-06-09"}
        more = pd.DataFrame([struck | {"tray": "C1"}, struck | {"tray": "C2", "taken": 1}])
        frame = pd.concat([frame, more], ignore_index=True)
    settings: dict[str, Any] = {**SETTINGS, **trial}
    if floor is not None:
        settings["trial"] = {**SETTINGS["trial"], "floor": floor}  # type: ignore[dict-item]
    known = records_from_frame(frame, trial=settings)
    return gather(known, ["method"], only="method", say=lambda step: None)


def topic_of(found: Gathered) -> Topic | None:
    return money_topic(found, "", lambda step: None)


def said(topic: Topic, key: str) -> list[str]:
    section = next(section for section in topic.sections if section.key == key)
    out: list[str] = []
    for block in section.blocks:
        if isinstance(block, Points):
            out += block.items
        if isinstance(block, Words):
            out.append(block.text)
    return out


def test_cuttings_and_costs_each_have_their_section() -> None:
    topic = topic_of(gathered({"costs": COSTS}, floor="70%"))
    assert topic is not None
    assert [section.key for section in topic.sections] == ["cuttings", "money"]
    lines = said(topic, "money")
    assert (
        "Break-even take, partly assumed costs: 48 % (48 to 49); under it a saleable plant costs "
        "more than the 6.00 EUR it sells for, 100 % of those that took being saleable. The lowest "
        "take worth having, from the settings: 70 %."
    ) in lines
    assert "No combination took less than its break-even take (partly assumed costs)." in lines
    assert any(line.startswith("Left out, because no cost is set: scion piece") for line in lines)
    tables = [
        block for section in topic.sections for block in section.blocks if isinstance(block, Cells)
    ]
    costs = [table.caption for table in tables if "costs per plant" in table.caption]
    assert costs == [
        "Partly assumed costs per plant by method, season 2026, in EUR",
        "Partly assumed costs per plant by scion wood, season 2026, in EUR",
    ]
    assert "are not compared" in said(topic, "cuttings")[0]


def test_only_what_is_recorded_has_a_section() -> None:
    assert topic_of(gathered({}, cuttings=False)) is None
    one = topic_of(gathered({}))
    assert one is not None
    assert [section.key for section in one.sections] == ["cuttings"]
    two = topic_of(gathered({"costs": COSTS}, cuttings=False))
    assert two is not None
    assert [section.key for section in two.sections] == ["money"]


def test_cuttings_beside_the_grafts_move_no_answer_of_the_grafts() -> None:
    with_them, without = gathered({}), gathered({}, cuttings=False)
    for factor, rates in without.rates.items():
        pd.testing.assert_frame_equal(with_them.rates[factor].table, rates.table, check_exact=True)
        pd.testing.assert_frame_equal(
            with_them.gaps[factor].table, without.gaps[factor].table, check_exact=True
        )
    assert with_them.chosen.said == without.chosen.said
    assert len(with_them.recorded.trays) == len(without.recorded.trays) + 2
    assert (with_them.records.trays["made_by"] == "graft").all()


def test_under_the_break_even_take_a_combination_is_named() -> None:
    topic = topic_of(gathered({"costs": COSTS | {"price": 3.7}}, cuttings=False))
    assert topic is not None
    (line,) = [line for line in said(topic, "money") if line.startswith("Under the break-even")]
    assert line.startswith(
        "Under the break-even take (partly assumed costs): Hamamelis × intermedia 'Copper Moth' on "
        "Hamamelis virginiana, "
    )


@pytest.mark.parametrize("word", ["significan", "p-value", "nan", "cheapest", "best"])
def test_words_that_do_not_stand_there(word: str) -> None:
    topic = topic_of(gathered({"costs": COSTS}))
    assert topic is not None
    words = str([block for section in topic.sections for block in section.blocks]).lower()
    assert word not in words
