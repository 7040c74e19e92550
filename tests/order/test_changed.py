"""Two orders side by side: before the count and after it."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest

from takestats.order.understock_order import understock_order
from tests.order.small_orders import LAMP, MOTH, order, past


def test_the_change_is_told_from_the_order_or_from_its_json() -> None:
    before, now = order(seasons=1), order()
    change = now.changed_since(before)
    again = now.changed_since(json.loads(json.dumps(before.as_record())))
    assert change.table.equals(again.table)
    assert change.table["change"].tolist() == pytest.approx(
        (now.table["grafts"] - before.table["grafts"]).tolist()
    )
    assert "2 seasons more on record" in change.in_words()
    assert change.sentences[0].startswith("The whole order: ")


def test_what_was_not_ordered_before_and_what_no_longer_is() -> None:
    before = understock_order(past(), {MOTH: 100})
    now = understock_order(past(), {LAMP: 100})
    change = now.changed_since(before)
    table = change.table.set_index("combination")
    assert np.isnan(table.loc[LAMP, "grafts_before"])
    assert np.isnan(table.loc[MOTH, "grafts"])
    assert table.loc[MOTH, "change"] == -before.table["grafts"].iloc[0]
    assert "not ordered before" in change.in_words()
    assert "no longer ordered" in change.in_words()


def test_the_same_order_is_as_before() -> None:
    change = order().changed_since(order())
    assert (change.table["change"] == 0).all()
    assert "as before" in change.sentences[0]


def test_another_assurance_is_named() -> None:
    surer = understock_order(past(), assurance=0.95)
    assert (surer.table["grafts"] > order().table["grafts"]).all()
    assert "95 seasons in 100" in surer.changed_since(order()).notes[0]


def test_seedlings_without_end_are_read_back_from_a_file() -> None:
    kept = order().as_record()
    kept["table"][0]["seedlings"] = "no upper bound"
    change = order().changed_since(kept)
    assert math.isinf(change.table["seedlings_before"].iloc[0])
