"""The raw intra-tray correlation: sums by hand, edges, laws. Published cases: tests/reference."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from takestats.errors import CountsError
from takestats.models.correlation import intra_tray_correlation

TRAYS = st.lists(
    st.integers(2, 40).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    min_size=3,
    max_size=12,
).filter(lambda trays: 0 < sum(k for k, _ in trays) < sum(n for _, n in trays))


def one_way(taken: list[int], grafted: list[int], groups: list[str]) -> float:
    """The one-way analysis of variance spelled out on the 0/1 outcomes themselves."""
    between = within = size = 0.0
    trays = grafts = kinds = 0
    for group in dict.fromkeys(groups):
        mine = [i for i, g in enumerate(groups) if g == group]
        outcomes = [[1.0] * taken[i] + [0.0] * (grafted[i] - taken[i]) for i in mine]
        everyone = np.concatenate(outcomes)
        for tray in outcomes:
            between += len(tray) * (np.mean(tray) - everyone.mean()) ** 2
            within += float(np.sum((np.array(tray) - np.mean(tray)) ** 2))
        total = everyone.size
        size += total - sum(grafted[i] ** 2 for i in mine) / total
        trays, grafts, kinds = trays + len(mine), grafts + total, kinds + 1
    msb, msw = between / (trays - kinds), within / (grafts - trays)
    n0 = size / (trays - kinds)
    return float((msb - msw) / (msb + (n0 - 1) * msw))


@given(TRAYS)
def test_it_is_the_one_way_analysis_of_variance(trays: list[tuple[int, int]]) -> None:
    taken, grafted = [k for k, _ in trays], [n for _, n in trays]
    groups = ["a" if i % 2 else "b" for i in range(len(trays))]
    for names in (None, groups):
        if not _varies(trays, names):  # refused, which another test holds
            continue
        found = intra_tray_correlation(taken, grafted, names)
        expected = one_way(taken, grafted, names or ["all"] * len(trays))
        assert found.estimate == pytest.approx(expected, abs=1e-10)
        assert found.low <= found.estimate + 1e-12
        assert found.estimate <= found.high + 1e-12


def _varies(trays: list[tuple[int, int]], names: list[str] | None) -> bool:
    """Whether some group has grafts that took and grafts that did not."""
    kept = names or ["all"] * len(trays)
    sums = [
        [sum(tray[place] for tray, own in zip(trays, kept, strict=True) if own == name)
         for place in (0, 1)]
        for name in set(kept)
    ]  # fmt: skip
    return any(0 < taken < grafted for taken, grafted in sums)


@given(TRAYS)
def test_taken_and_failed_have_one_correlation(trays: list[tuple[int, int]]) -> None:
    taken, grafted = [k for k, _ in trays], [n for _, n in trays]
    failed = [n - k for k, n in trays]
    one, two = intra_tray_correlation(taken, grafted), intra_tray_correlation(failed, grafted)
    assert one.estimate == pytest.approx(two.estimate, abs=1e-12)


def test_it_may_be_negative() -> None:
    assert intra_tray_correlation([5, 5, 5], [10, 10, 10]).estimate < 0


def test_trays_that_took_wholly_or_not_at_all_correlate_fully() -> None:
    found = intra_tray_correlation([10, 0, 10, 0], [10] * 4)
    assert found.estimate == 1.0
    assert found.high == 1.0


@pytest.mark.parametrize(
    ("taken", "grafted", "groups"),
    [
        ([3], [10], None),
        ([3, 4], [10, 10], ["a", "b"]),
        ([1, 0, 1], [1, 1, 1], None),
        ([0, 0, 1], [1, 1, 2], ["a", "a", "b"]),  # grafts share a tray only where it is alone
        ([10, 10], [10, 10], None),
        ([0, 0], [10, 10], None),
        ([0, 2, 0], [2, 2, 2], ["b", "a", "b"]),  # groups differ, nothing inside one does
        ([3, 11], [10, 10], None),
        ([3, -1], [10, 10], None),
        ([3, float("nan")], [10, 10], None),
        ([3, 4, 5], [10, 10], None),
        ([3, 4], [10, 10], ["a"]),
        ([0, 0], [0, 10], None),
    ],
)
def test_what_cannot_show_a_correlation_is_refused(
    taken: list[float], grafted: list[float], groups: list[str] | None
) -> None:
    with pytest.raises(CountsError) as refused:
        intra_tray_correlation(taken, grafted, groups)
    assert all([refused.value.where, refused.value.what, refused.value.next_step])


@pytest.mark.parametrize("level", [0.8, 0.95, 0.999])
def test_limits_are_those_of_f(level: float) -> None:
    # Source: scipy.stats.f; four trays of ten by hand, 3 and 36 degrees of freedom.
    between = 10 * float(np.var([0.2, 0.9, 0.5, 0.8])) * 4 / 3
    within = 10 * (0.2 * 0.8 + 0.9 * 0.1 + 0.5 * 0.5 + 0.8 * 0.2) / 36
    tails = np.array([(1 + level) / 2, (1 - level) / 2])
    ratio = between / within / stats.f.ppf(tails, 3, 36)
    found = intra_tray_correlation([2, 9, 5, 8], [10] * 4, level=level)
    expected = (ratio - 1) / (ratio + 9)
    assert [found.low, found.high] == pytest.approx(expected.tolist(), rel=1e-10)


def test_a_level_is_checked() -> None:
    with pytest.raises(CountsError, match="did you mean"):
        intra_tray_correlation([3, 4], [10, 10], level=95)
