"""Does the search find the fewest trays, and quickly?"""

from __future__ import annotations

import time

import pytest

from takestats.planning.power import CONFIRM, simulated_power
from takestats.planning.question import Kind, Question
from takestats.planning.search import FEWEST, first_guess, search_trays

ASKED = Question(kind="tell_apart", take_a=0.75, take_b=0.95, tray_size=20)


def test_fewer_trays_do_not_do() -> None:
    found = search_trays(ASKED, 0.1, 0.8, 60, seed=1, stream=0)
    trays = found.confirmed.trays
    assert found.reached
    assert found.confirmed.trials == CONFIRM
    assert found.confirmed.power >= 0.8
    fewer = simulated_power(ASKED, trays - 1, (0.1,), trials=4_000, seed=2)
    assert fewer.power < 0.815
    assert 0.0 < found.confirmed.width < 1.0


def test_the_most_trays_are_looked_at_when_none_do() -> None:
    found = search_trays(ASKED, 0.1, 0.9, 4, seed=1, stream=0)
    assert not found.reached
    assert found.confirmed.trays == 4
    assert found.confirmed.power < 0.9


def test_the_fewest_are_two() -> None:
    easy = Question(kind="tell_apart", take_a=0.05, take_b=0.97, tray_size=30)
    assert first_guess(easy, 0.05, 0.8) == FEWEST
    assert search_trays(easy, 0.05, 0.8, 60, seed=1, stream=0).confirmed.trays == FEWEST


@pytest.mark.parametrize(
    ("kind", "take_a", "take_b"),
    [
        ("tell_apart", 0.998, 1.0),
        ("tell_apart", 0.02, 0.0),
        ("above_floor", 0.998, 1.0),
        ("no_worse", 0.999, 1.0),
        ("estimate", 0.0, 0.999),
    ],
)
def test_there_is_a_guess_even_at_the_ends(kind: Kind, take_a: float, take_b: float) -> None:
    asked = Question(kind=kind, take_a=take_a, take_b=take_b, margin=0.05, tray_size=20)
    assert FEWEST <= first_guess(asked, 0.1, 0.8) < 10_000


def test_same_seed_same_digits() -> None:
    one, again = (
        simulated_power(ASKED, 7, (0.05,), trials=500, seed=3, widths=True) for _ in range(2)
    )
    assert (one.trays, one.power, one.width) == (again.trays, again.power, again.width)


@pytest.mark.benchmark
def test_four_correlations_are_searched_and_confirmed_within_ten_seconds() -> None:
    asked = Question(kind="tell_apart", take_a=0.80, take_b=0.90, tray_size=20)
    begun = time.process_time()
    for index, icc in enumerate((0.02, 0.05, 0.10, 0.20)):
        found = search_trays(asked, icc, 0.8, 60, seed=1, stream=10 * index)
        assert found.reached
    assert time.process_time() - begun <= 10.0
    simulated_power(asked, 20, (0.05,), trials=100, seed=1)
    begun = time.process_time()
    simulated_power(asked, 20, (0.05,), trials=10_000, seed=1)
    assert time.process_time() - begun <= 0.5
