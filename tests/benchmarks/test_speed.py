"""The bars of speed, held with room for a busy machine: three times the bar."""

from __future__ import annotations

import pytest

from tests.benchmarks.timed import MEASURES

pytestmark = pytest.mark.benchmark
ROOM = 3.0


@pytest.mark.parametrize("name", list(MEASURES))
def test_no_answer_takes_three_times_its_bar(name: str) -> None:
    for speed in MEASURES[name]():
        assert not speed.took.processor > ROOM * speed.bar, speed.what  # NaN: nothing promised
        assert not speed.memory >= speed.memory_bar, speed.what
