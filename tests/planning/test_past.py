"""What past seasons give a plan."""

from __future__ import annotations

import pytest

import takestats as ts
from takestats.planning.past import past_trays
from tests.planning.past_seasons import bench, past


def test_the_correlation_is_that_of_the_fit() -> None:
    seen = past_trays(past())
    assert (seen.trays, seen.seasons) == (36, 2)
    assert 0.0 < seen.low < seen.icc < seen.high < 0.4
    model = ts.fit_take(past(), ["combination"])
    assert past_trays(model).icc == pytest.approx(seen.icc)


def test_a_plan_runs_over_its_interval_and_says_so() -> None:
    records = past()
    seen = past_trays(records)
    plan = ts.trays_to_exceed_floor(0.6, 0.9, 24, past=records)
    assert plan.table["icc"].tolist() == list(seen.iccs)
    assert any(note.startswith("Intra-tray correlation from past records:") for note in plan.notes)
    assert any("INVENTED DATA" in note for note in plan.notes)


def test_a_typed_correlation_goes_first() -> None:
    plan = ts.trays_to_exceed_floor(0.6, 0.9, 24, icc=0.05, past=past())
    assert plan.table["icc"].tolist() == [0.05]


def test_without_trays_there_is_no_correlation() -> None:
    frame = bench(("copper", "wren")).drop(columns="tray")
    records = ts.records_from_frame(frame, trial={"records": {"trays": "none"}})
    with pytest.raises(ts.DesignError) as caught:
        ts.trays_to_exceed_floor(0.6, 0.9, 24, past=records)
    assert caught.value.next_step == "leave past out: the plan then goes over a range"
