"""A stop waits until it does no harm, and is never lost."""

from __future__ import annotations

import os
import signal
import threading

import pytest

from takestats.pages.no_stop import no_stop_half_way


def stop() -> None:
    os.kill(os.getpid(), signal.SIGINT)


def test_the_first_stop_waits_and_is_heard_at_the_end() -> None:
    done = []

    def work() -> None:
        with no_stop_half_way():
            stop()
            done.append("all")

    with pytest.raises(KeyboardInterrupt):
        work()
    assert done == ["all"]


def test_it_is_heard_where_it_does_no_harm() -> None:
    done = []

    def work() -> None:
        with no_stop_half_way() as go_on:
            go_on()
            stop()
            go_on()
            done.append("never")

    with pytest.raises(KeyboardInterrupt):
        work()
    assert done == []


def test_a_second_stop_is_heard_at_once() -> None:
    done = []

    def work() -> None:
        with no_stop_half_way():
            stop()
            stop()
            done.append("never")

    with pytest.raises(KeyboardInterrupt):
        work()
    assert done == []


def test_without_a_stop_nothing_changes() -> None:
    before = signal.getsignal(signal.SIGINT)
    with no_stop_half_way() as go_on:
        go_on()
    assert signal.getsignal(signal.SIGINT) is before


def test_in_another_thread_it_does_nothing() -> None:
    done = []

    def work() -> None:
        with no_stop_half_way() as go_on:
            go_on()
            done.append("all")

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert done == ["all"]
