"""Differences of two bare counts: laws, and the score limits against a plain search."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from takestats.errors import CountsError
from takestats.models.two_counts import difference_interval, square_and_add


@st.composite
def counts(draw: st.DrawFn) -> tuple[int, int]:
    made = draw(st.integers(1, 5000))
    return draw(st.integers(0, made)), made


@given(counts(), counts(), st.sampled_from(["newcombe", "miettinen_nurminen"]))
def test_laws_of_a_difference(a: tuple[int, int], b: tuple[int, int], kind: str) -> None:
    one = difference_interval(*a, *b, kind=kind)
    back = difference_interval(*b, *a, kind=kind)
    failed = difference_interval(a[1] - a[0], a[1], b[1] - b[0], b[1], kind=kind)
    assert -1.0 <= one.low <= one.estimate + 1e-12
    assert one.estimate <= one.high + 1e-12 <= 1.0 + 2e-12
    for other in (back, failed):
        assert one.estimate == pytest.approx(-other.estimate, abs=1e-12)
        assert one.low == pytest.approx(-other.high, abs=1e-7)
        assert one.high == pytest.approx(-other.low, abs=1e-7)


def test_miettinen_nurminen_limits_are_where_the_score_test_turns() -> None:
    # Own restricted maximum by a plain search, not by the root that the package finds.
    took_a, made_a, took_b, made_b = 17, 20, 9, 24
    found = difference_interval(took_a, made_a, took_b, made_b, kind="miettinen_nurminen")
    for limit in (found.low, found.high):
        best, top = 0.0, -math.inf
        for step in range(1, 200_000):
            rate_b = step / 200_000
            rate_a = rate_b + limit
            if not 0.0 < rate_a < 1.0:
                continue
            value = (
                took_a * math.log(rate_a) + (made_a - took_a) * math.log(1 - rate_a)
                + took_b * math.log(rate_b) + (made_b - took_b) * math.log(1 - rate_b)
            )  # fmt: skip
            if value > top:
                best, top = rate_b, value
        rate_a, total = best + limit, made_a + made_b
        variance = rate_a * (1 - rate_a) / made_a + best * (1 - best) / made_b
        score = (took_a / made_a - took_b / made_b - limit) / math.sqrt(
            variance * total / (total - 1)
        )
        assert abs(score) == pytest.approx(stats.norm.ppf(0.975), abs=1e-4)


def test_square_and_add_stays_between_minus_one_and_one() -> None:
    assert square_and_add(1.0, (0.2, 1.0), 0.0, (0.0, 0.9)) == (
        pytest.approx(1.0 - math.hypot(0.8, 0.9)),
        1.0,
    )


@pytest.mark.parametrize("kind", ["wald", "", "Newcombe"])
def test_an_unknown_kind_is_refused(kind: str) -> None:
    with pytest.raises(CountsError, match="kind is"):
        difference_interval(3, 4, 2, 4, kind=kind)  # type: ignore[arg-type]
