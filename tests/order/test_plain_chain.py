"""The chain by hand: 500 saleable plants, cull 10 %, 85 % of the seedlings usable."""

from __future__ import annotations

import math

import pytest

from takestats.order.plain_chain import plain_need, whole_up
from takestats.order.understock_order import understock_order

# Worked by hand from grafts = wanted / (take x (1 - cull)), seedlings = grafts / usable share:
# 793.65 and 933.7; 925.93 and 1,089.3; 703.23 and 827.3; each rounded up by itself, at the end.
WORKED = [(0.70, 794, 934), (0.60, 926, 1090), (0.79, 704, 828)]
EMBER = "Acer rubrum 'Ember' on Acer rubrum"


@pytest.mark.parametrize(("take", "grafts", "seedlings"), WORKED)
def test_the_worked_example(take: float, grafts: int, seedlings: int) -> None:
    need = plain_need(500, take, cull=0.10, usable_share=0.85)
    assert (whole_up(need.grafts), whole_up(need.seedlings)) == (grafts, seedlings)


@pytest.mark.parametrize(("take", "grafts", "seedlings"), WORKED)
def test_the_worked_example_as_an_order_on_the_poor_take(
    take: float, grafts: int, seedlings: int
) -> None:
    order = understock_order(
        {EMBER: (take, 0.80, 0.90)},
        {EMBER: 500},
        cull="10%",
        settings={"work": {"usable_share": 0.85}},
    )
    row = order.table.iloc[0]
    assert (row["grafts"], row["seedlings"]) == (grafts, seedlings)
    assert row["rests_on"] == "typed takes"
    assert math.isnan(row["chance_met"])
    assert row["expected_surplus"] == pytest.approx(grafts * 0.80 * 0.9 - 500)
    assert row["largest_surplus"] == pytest.approx(grafts * 0.90 * 0.9 - 500)
    assert row["low_plants"] >= 500


def test_nothing_takes_nothing_is_usable() -> None:
    assert math.isinf(plain_need(5, 0.0).grafts)
    assert math.isinf(plain_need(5, 1.0, usable_share=0.0).seedlings)
    assert plain_need(5, 1.0) == (5.0, 5.0)


def test_the_noise_of_floating_point_makes_no_plant_more() -> None:
    assert whole_up(3 * 0.1 * 10) == 3
    assert whole_up(3.001) == 4
