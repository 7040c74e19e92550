"""Understocks to be had: for all, for each, for a class of one."""

from __future__ import annotations

import math

import pytest

from takestats.errors import UnknownLevelError
from takestats.order.to_be_had import most_of, understocks_to_be_had
from takestats.records.settings import read_trial

STOCKS = ("Hamamelis virginiana", "Carpinus betulus")
CLASSES = {"Hamamelis virginiana": ["thin", "stout"], "Carpinus betulus": ["6 to 8"]}
NAMES = {"virginiana": STOCKS[0], "hornbeam": STOCKS[1]}


def had(given: object) -> dict[tuple[str, str], float]:
    trial = read_trial({"names": NAMES, "work": {"understocks": given}})
    return understocks_to_be_had(trial, STOCKS, CLASSES)


def test_one_number_is_for_each_understock() -> None:
    assert had(300) == {(stock, ""): 300.0 for stock in STOCKS}


def test_names_and_classes_are_read() -> None:
    found = had({"Virginiana Thin": 200, "Hamamelis virginiana, stout": 90, "hornbeam": 500})
    assert found == {
        (STOCKS[0], "thin"): 200.0,
        (STOCKS[0], "stout"): 90.0,
        (STOCKS[1], ""): 500.0,
    }
    assert most_of(STOCKS[0], found, CLASSES[STOCKS[0]]) == 290.0
    assert most_of(STOCKS[1], found, CLASSES[STOCKS[1]]) == 500.0


def test_one_class_alone_does_not_say_how_many_there_are_in_all() -> None:
    assert math.isnan(most_of(STOCKS[0], had("virginiana thin 200"), CLASSES[STOCKS[0]]))
    assert math.isnan(most_of(STOCKS[1], {}, []))


@pytest.mark.parametrize("name", ["virginiana thick", "thin", "hornbeam thin", "virginia"])
def test_a_name_that_is_none_is_asked_about(name: str) -> None:
    with pytest.raises(UnknownLevelError) as told:
        had({name: 5})
    assert told.value.where == "settings, work.understocks"
    assert "Hamamelis virginiana thin" in told.value.next_step or "Is it" in told.value.next_step
