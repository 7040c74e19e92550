"""Is the chance of a gap exact, and the library's where that is exact?"""

from __future__ import annotations

from fractions import Fraction
from math import factorial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from takestats.models.kolmogorov import chance_of_gap, largest_gap


def exact_chance(gap: Fraction, count: int) -> Fraction:
    """Steck's determinant in whole fractions: no matrix powers, no rounding.

    Chance that ordered shares stay between bounds: Steck 1971, Ann Math Stat 42:1-11
    (from memory), expanded along its last column, which is quick as it has ones under
    the diagonal and nothing below them.
    """
    low = [max(Fraction(0), Fraction(i, count) - gap) for i in range(1, count + 1)]
    high = [min(Fraction(1), Fraction(i - 1, count) + gap) for i in range(1, count + 1)]
    minors = [Fraction(1)]
    for column in range(1, count + 1):
        total = Fraction(0)
        for row in range(1, column + 1):
            width = max(Fraction(0), high[row - 1] - low[column - 1])
            power = column - row + 1
            entry = width**power / factorial(power)
            total += (-1) ** (column - row) * entry * minors[row - 1]
        minors.append(total)
    return 1 - factorial(count) * minors[-1]


@pytest.mark.parametrize(
    ("count", "gaps"),
    [
        (1, ["1/2", "3/5", "1"]),
        (2, ["1/4", "3/10", "1/2", "9/10"]),
        (3, ["1/5", "1/3", "2/5", "5/7"]),
        (10, ["1/19", "1/10", "137/500", "2/5", "1/2", "3/4"]),
        (40, ["1/20", "3/40", "1/10", "1/5", "3/10", "2/5"]),
        (150, ["1/50", "1/25", "1/15", "1/10", "3/20"]),
    ],
)
def test_equals_the_determinant_in_whole_fractions(count: int, gaps: list[str]) -> None:
    # Past 140 the library approximates; the fractions do not.
    for text in gaps:
        gap = Fraction(text)
        expected = float(exact_chance(gap, count))
        assert chance_of_gap(float(gap), count) == pytest.approx(expected, rel=1e-8, abs=1e-12)


def test_a_published_value() -> None:
    # Marsaglia, Tsang & Wang 2003, J Stat Softw 8(18): Pr(D_10 < .274), 15 digits from memory.
    assert 1.0 - chance_of_gap(0.274, 10) == pytest.approx(0.628479615456504, abs=1e-14)


@pytest.mark.parametrize("count", [1, 2, 3, 5, 8, 13, 21, 34, 55, 89, 140])
def test_the_library_where_it_is_exact(count: int) -> None:
    # Source: scipy.stats.kstwo, up to 140 trays without approximation.
    gaps = np.unique(np.concatenate([np.linspace(0.001, 1.0, 150), [0.5 / count, 1.0 / count]]))
    here = np.array([chance_of_gap(gap, count) for gap in gaps])
    np.testing.assert_allclose(here, stats.kstwo.sf(gaps, count), rtol=1e-6, atol=1e-9)


@pytest.mark.parametrize("count", [141, 300, 833, 2000, 12_000])
def test_the_library_where_it_approximates(count: int) -> None:
    # Source: scipy.stats.kstwo; past 140 trays it leaves out up to 2e-5 of the tail.
    gaps = np.concatenate([np.linspace(0.1, 4.0, 30) / np.sqrt(count), [0.5, 0.75]])
    here = np.array([chance_of_gap(gap, count) for gap in gaps])
    np.testing.assert_allclose(here, stats.kstwo.sf(gaps, count), rtol=3e-5, atol=1e-9)


def test_so_many_trays_are_asked_of_the_library() -> None:
    gap = 0.9 / np.sqrt(200_000)
    assert chance_of_gap(gap, 200_000) == float(stats.kstwo.sf(gap, 200_000))


@given(st.lists(st.floats(-6.0, 6.0), min_size=1, max_size=120))
def test_gap_and_chance_are_those_of_the_test(values: list[float]) -> None:
    # Source: scipy.stats.kstest, two-sided, exact.
    found = np.array(values)
    expected = stats.kstest(found, "norm")
    gap = largest_gap(stats.norm.cdf(found))
    assert gap == expected.statistic
    chance = chance_of_gap(gap, found.size)
    assert chance == pytest.approx(float(expected.pvalue), rel=1e-6, abs=1e-9)


@given(st.integers(1, 400), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_a_larger_gap_is_rarer(count: int, one: float, other: float) -> None:
    small, large = sorted((one, other))
    rare, common = chance_of_gap(large, count), chance_of_gap(small, count)
    assert 0.0 <= rare <= common + 1e-9 <= 1.0 + 1e-9
