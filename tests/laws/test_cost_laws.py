"""What must hold for any costs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.answers.costs import break_even_take
from takestats.answers.spending import Spend, cost_per_saleable, cost_per_taken, spent
from takestats.records.cost_steps import CostPlan, CostStep, cost_step

MONEY = st.floats(0.01, 1000)
SHARE = st.floats(0.01, 1.0)
STEP = st.builds(
    CostStep,
    name=st.just("step"),
    minutes=st.floats(0, 60),
    money=st.floats(0, 100),
    per=st.sampled_from(["graft", "taken", "saleable"]),
)


@given(MONEY, MONEY, SHARE, SHARE)
def test_a_plant_is_cheaper_the_more_take(graft: float, taken: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    spend = Spend(graft, taken, 0.0)
    if high > low * (1 + 1e-9):
        assert cost_per_taken(spend, high) < cost_per_taken(spend, low)
        assert cost_per_saleable(spend, high, 0.9) < cost_per_saleable(spend, low, 0.9)


@given(st.lists(STEP, min_size=1, max_size=5), st.floats(0.1, 100), SHARE, SHARE)
def test_money_in_another_unit_scales_every_cost_and_moves_no_break_even(
    steps: list[CostStep], scale: float, take: float, share: float
) -> None:
    plan = CostPlan(currency="", hour=18.0, price=14.0, steps=tuple(steps))
    other = CostPlan(
        currency="",
        hour=18.0 * scale,
        price=14.0 * scale,
        steps=tuple(
            CostStep(name=s.name, minutes=s.minutes, money=s.money * scale, per=s.per)
            for s in steps
        ),
    )
    one, two = spent(plan), spent(other)
    assert cost_per_taken(two, take) == pytest.approx(scale * cost_per_taken(one, take), rel=1e-9)
    assert cost_per_saleable(two, take, share) == pytest.approx(
        scale * cost_per_saleable(one, take, share), rel=1e-9
    )
    even, again = break_even_take(plan, share), break_even_take(other, share)
    assert even is not None
    assert again is not None
    if even < 50:  # near no take that pays, the last digit of the price decides
        assert again == pytest.approx(even, rel=1e-6)


@given(st.lists(STEP, min_size=1, max_size=5), SHARE)
def test_under_the_break_even_take_a_plant_costs_more_than_its_price(
    steps: list[CostStep], share: float
) -> None:
    plan = CostPlan(currency="", hour=18.0, price=14.0, steps=tuple(steps))
    even = break_even_take(plan, share)
    assert even is not None
    spend = spent(plan)
    if 1e-6 < even < 50 and spend.graft > 1e-3:
        assert cost_per_saleable(spend, even * 0.99, share) > 14.0
        assert cost_per_saleable(spend, even * 1.01, share) < 14.0
    if math.isinf(even):
        assert cost_per_saleable(spend, 1e9, share) >= 14.0 * (1 - 1e-9)


@given(st.integers(0, 9999), st.integers(0, 9999))
def test_minutes_and_money_may_be_written_either_way_round(minutes: int, cents: int) -> None:
    time, money = f"{minutes / 100:.2f} min", f"{cents / 100:.2f}"
    one, two = cost_step("x", f"{time}, {money}"), cost_step("x", f"{money}; {time}")
    assert one == two
    assert one == cost_step("x", f"{time}, {money}".replace(".", ","))
