"""Single binomials: against scipy and statsmodels' printed cases, and their own laws.

The published cases stand in tests/reference; here are the edges and the laws.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from takestats.errors import CountsError
from takestats.interval import (
    Interval,
    check_counts,
    check_level,
    take_interval,
    wilson_limits,
)

KINDS = ("wilson", "exact", "jeffreys")
SCIPY = {"wilson": "wilson", "exact": "exact"}


@st.composite
def counts(draw: st.DrawFn) -> tuple[int, int]:
    made = draw(st.integers(1, 5000))
    return draw(st.integers(0, made)), made


@given(counts(), st.sampled_from(sorted(SCIPY)), st.sampled_from([0.5, 0.9, 0.95, 0.99]))
def test_limits_are_scipys(count: tuple[int, int], kind: str, level: float) -> None:
    taken, made = count
    theirs = stats.binomtest(taken, made).proportion_ci(level, method=SCIPY[kind])
    ours = take_interval(taken, made, level=level, kind=kind)
    assert ours.low == pytest.approx(theirs.low, rel=1e-9, abs=1e-10)
    assert ours.high == pytest.approx(theirs.high, rel=1e-9, abs=1e-10)


@given(counts())
def test_jeffreys_is_a_beta_with_the_end_points(count: tuple[int, int]) -> None:
    taken, made = count
    ours = take_interval(taken, made, kind="jeffreys")
    beta = stats.beta(taken + 0.5, made - taken + 0.5)
    assert ours.low == (0.0 if taken == 0 else pytest.approx(beta.ppf(0.025), rel=1e-9))
    assert ours.high == (1.0 if taken == made else pytest.approx(beta.ppf(0.975), rel=1e-9))


@given(counts(), st.sampled_from(KINDS))
def test_laws_of_one_take(count: tuple[int, int], kind: str) -> None:
    taken, made = count
    one = take_interval(taken, made, kind=kind)
    mirror = take_interval(made - taken, made, kind=kind)
    inner = take_interval(taken, made, kind=kind, level=0.8)
    assert 0.0 <= one.low <= one.estimate <= one.high <= 1.0
    assert one.low == pytest.approx(1.0 - mirror.high, abs=1e-10)
    assert one.low <= inner.low
    assert inner.high <= one.high


def test_wilson_takes_an_effective_number() -> None:
    whole = wilson_limits(0.8, 40.0, 1.96)
    half = wilson_limits(0.8, 20.0, 1.96)
    assert half[0] < whole[0] < 0.8 < whole[1] < half[1]
    assert wilson_limits(0.0, 7.3, 2.2)[0] == 0.0
    assert wilson_limits(1.0, 7.3, 2.2)[1] == 1.0


@pytest.mark.parametrize("level", [0.0, 1.0, 95, -0.1, "0.95", None, float("nan")])
def test_a_level_outside_0_to_1_is_refused(level: object) -> None:
    with pytest.raises(CountsError, match="between 0 and 1"):
        check_level(level)  # type: ignore[arg-type]


def test_a_level_in_percent_gets_the_question() -> None:
    with pytest.raises(CountsError, match=r"did you mean 0\.95\?"):
        take_interval(3, 4, level=95)


@pytest.mark.parametrize(
    ("taken", "made"),
    [(5, 4), (-1, 4), (0, 0), (1.5, 4), ("3", 4), (True, 4), (math.nan, 4), (3, math.inf)],
)
def test_counts_that_cannot_be_are_refused(taken: float, made: float) -> None:
    with pytest.raises(CountsError) as refused:
        check_counts(taken, made)
    assert refused.value.rule
    assert refused.value.next_step


def test_whole_numbers_of_any_type_are_counts() -> None:
    assert check_counts(3.0, 4) == (3, 4)


@pytest.mark.parametrize("kind", ["wald", "", "Wilson"])
def test_an_unknown_kind_is_refused(kind: str) -> None:
    with pytest.raises(CountsError, match="kind is"):
        take_interval(3, 4, kind=kind)  # type: ignore[arg-type]


def test_an_interval_is_frozen() -> None:
    one = take_interval(3, 4)
    assert isinstance(one, Interval)
    with pytest.raises(AttributeError):
        one.low = 0.0  # type: ignore[misc]
