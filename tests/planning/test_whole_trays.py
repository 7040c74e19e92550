"""Does a paired plan say what it saves, by the plan of whole trays itself?"""

from __future__ import annotations

from takestats.planning.tell_apart import trays_to_tell_apart
from takestats.planning.whole_trays import whole_trays_instead
from tests.planning.few_trials import few_trials


def test_it_is_the_plan_of_whole_trays_at_the_worst_correlation():
    with few_trials():
        _check()


def _check() -> None:
    paired = trays_to_tell_apart(0.7, 0.9, 20, icc=(0.05, 0.1), within_trays=True)
    instead = whole_trays_instead(paired)
    assert instead is not None
    whole = trays_to_tell_apart(0.7, 0.9, 20, icc=paired.icc)
    assert (instead.trays, instead.grafts) == (whole.trays, whole.grafts)
    assert instead.grafts > paired.grafts
