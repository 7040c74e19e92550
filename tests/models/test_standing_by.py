"""Does a process that stands by do its pieces in order, and can it be lost without harm?"""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable

import pytest

from takestats.models.side_by_side import ONE_AT_A_TIME, shared_out
from takestats.models.standing_by import StandingBy
from tests.two_cores import forks, stopped_as_they_part


@pytest.fixture
def two(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ONE_AT_A_TIME, raising=False)


def squares() -> Callable[[int], tuple[int, int]]:
    return lambda n: (n * n, os.getpid())


@forks
@pytest.mark.usefixtures("two")
@pytest.mark.parametrize("pause", [0.0, 0.2], ids=["at once", "while this one is busy"])
def test_pieces_are_made_elsewhere_and_come_back_in_order(pause: float) -> None:
    other = StandingBy(squares)
    assert all(other.give(n) for n in range(7))
    time.sleep(pause)
    made = other.made()
    assert made is not None
    assert [square for square, _ in made] == [n * n for n in range(7)]
    assert os.getpid() not in {process for _, process in made}
    assert other.made() is None  # it has gone
    assert not other.give(1)


@forks
@pytest.mark.usefixtures("two")
def test_a_stop_as_they_part_is_not_for_who_stands_by(monkeypatch: pytest.MonkeyPatch) -> None:
    stopped_as_they_part(monkeypatch)
    other = StandingBy(squares)
    other.give(3)
    made = other.made()
    assert made is not None
    assert made[0][0] == 9
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


@forks
@pytest.mark.usefixtures("two")
def test_many_large_pieces_do_not_hold_up_who_gives_them() -> None:
    def slow() -> Callable[[bytes], bytes]:
        time.sleep(0.5)
        return lambda piece: piece[::-1]

    other = StandingBy(slow)
    begun = time.perf_counter()
    large = b"ab" * 500_000
    assert all(other.give(large) for _ in range(5))
    assert time.perf_counter() - begun < 0.4
    assert other.made() == [b"ba" * 500_000] * 5


@forks
@pytest.mark.usefixtures("two")
def test_a_piece_that_cannot_be_sent_stays_here() -> None:
    other = StandingBy(squares)
    assert not other.give(lambda: 1)
    assert other.give(3)
    made = other.made()
    assert made is not None
    assert [square for square, _ in made] == [9]


@forks
@pytest.mark.usefixtures("two")
@pytest.mark.parametrize("when", ["before", "while it works", "a piece fails"])
def test_a_lost_process_makes_nothing_and_hangs_nothing(when: str) -> None:
    def dying() -> Callable[[int], int]:
        if when == "before":
            os.kill(os.getpid(), signal.SIGKILL)

        def work(_: int) -> int:
            if when == "a piece fails":
                raise RuntimeError("no")
            os.kill(os.getpid(), signal.SIGKILL)
            return 1

        return work

    other = StandingBy(dying)
    for n in range(3):
        other.give(n)
        time.sleep(0.02)
    assert other.made() is None


def test_one_at_a_time_nobody_stands_by() -> None:
    other = StandingBy(squares)
    assert not other.give(2)
    assert other.made() is None


@forks
@pytest.mark.usefixtures("two")
def test_shared_out_each_piece_is_done_once_in_order(tmp_path) -> None:
    def work(n: int) -> int:
        with open(tmp_path / str(n), "a") as file:
            file.write("x")
        time.sleep(0.01)
        return -n

    assert shared_out(work, range(40)) == [-n for n in range(40)]
    assert {path.read_text() for path in tmp_path.iterdir()} == {"x"}


@forks
@pytest.mark.usefixtures("two")
def test_shared_out_what_a_killed_process_took_is_done_here() -> None:
    here = os.getpid()

    def work(n: int) -> int:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        time.sleep(0.01)
        return n

    assert shared_out(work, range(12)) == list(range(12))
