"""Two-stage rules over a range: the plan is that of the most uneven trays."""

from __future__ import annotations

import pytest

import takestats as ts
from takestats.errors import CountsError, DesignError
from takestats.planning.stage_plans import stage_plans
from tests.planning.past_seasons import past


def test_without_a_tray_size_every_graft_stands_by_itself() -> None:
    plans = stage_plans(0.7, 0.9)
    assert len(plans.rules) == 1
    assert plans.chosen.sentences == ts.two_stage(0.7, 0.9).sentences
    assert plans.table.loc[0, "first"] == 6


def test_the_past_gives_the_range() -> None:
    said: list[str] = []
    plans = stage_plans(0.6, 0.9, tray_size=12, past=past(), progress=said.append)
    assert plans.past is not None
    assert plans.table["icc"].tolist() == sorted(plans.past.iccs)
    assert plans.notes[0].startswith("INVENTED DATA")
    assert plans.chosen.icc == max(plans.past.iccs)
    assert len(said) == len(plans.rules)


def test_a_typed_correlation_goes_before_the_past() -> None:
    plans = stage_plans(0.6, 0.9, tray_size=12, icc=[0.1], past=past())
    assert plans.table["icc"].tolist() == [0.1]
    assert plans.past is None


def test_a_correlation_needs_a_tray_size_and_a_rule_must_exist() -> None:
    with pytest.raises(CountsError, match="tray size"):
        stage_plans(0.7, 0.9, icc=[0.1])
    with pytest.raises(DesignError, match="none of them keeps both chances"):
        stage_plans(0.88, 0.9, tray_size=12)
