"""Is the lot even, and the same for the same seed?"""

from __future__ import annotations

from collections import Counter

from scipy.stats import chi2

from takestats.bench.lot import MOST_SEED, Lot, made_seed


def test_numbers_are_even() -> None:
    lot, draws = Lot(20260114), 21_000
    counts = Counter(lot.below(7) for _ in range(draws))
    assert sorted(counts) == list(range(7))
    statistic = sum((n - draws / 7) ** 2 / (draws / 7) for n in counts.values())
    assert chi2.sf(statistic, 6) > 0.01


def test_seeds_differ_and_repeat() -> None:
    first = [Lot(seed).shuffled(range(20)) for seed in range(30)]
    assert first == [Lot(seed).shuffled(range(20)) for seed in range(30)]
    assert len({tuple(order) for order in first}) == 30


def test_one_thing_needs_no_lot() -> None:
    assert Lot(1).shuffled(["a"]) == ["a"]
    assert Lot(1).below(1) == 0


def test_made_seeds_are_in_range() -> None:
    assert all(1 <= made_seed() <= MOST_SEED for _ in range(100))
