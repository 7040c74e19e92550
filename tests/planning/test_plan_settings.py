"""A plan's question, rule and stages are settings that the records room reads."""

from __future__ import annotations

import takestats as ts
from takestats.pages.bench_asked import layout_of_settings
from takestats.pages.bench_workbook import trial_rows
from takestats.planning.plan_settings import plan_settings
from takestats.records.settings import read_trial
from tests.planning.past_seasons import past


def test_every_kind_of_plan_gives_settings_that_are_read() -> None:
    plans = (
        ts.trays_to_tell_apart(0.6, 0.95, 12, icc=0.1),
        ts.trays_to_tell_apart(0.6, 0.95, 12, icc=0.1, within_trays=True),
        ts.trays_to_show_no_worse(0.9, 0.95, 0.15, 12, icc=0.05),
        ts.trays_to_exceed_floor(0.6, 0.9, 12, icc=0.05),
        ts.trays_to_estimate(0.9, 0.15, 12, icc=0.05),
        ts.two_stage(0.7, 0.9),
        ts.two_stage(0.7, 0.9, icc=0.1, tray_size=12),
        ts.plan_new_combination(
            "Hamamelis mollis", "Hamamelis virginiana", past(), tray_size=12, at_most_grafts=48
        ),
    )
    found = [plan_settings(plan) for plan in plans]
    for settings in found:
        trial = read_trial(settings)
        assert trial.trial["question"].endswith("?")
        assert trial.trial["rule"]
    apart, paired, no_worse, floor, _, grafts, trays, new = found
    assert apart["trial"]["randomised"] == "tray"
    assert paired["trial"]["randomised"] == "half"
    laid_out = {"treatments": {"method": ["cleft", "side veneer"]}, "seed": 3}
    asked = read_trial({**paired, "bench": {**paired["bench"], **laid_out}})
    layout = layout_of_settings(asked)
    assert layout.split_trays
    assert layout.trays == paired["bench"]["trays_each"]  # each holds half of each method
    assert dict(trial_rows(layout, asked))["trial.randomised"] == "half"
    assert no_worse["trial"]["margin_points"] == 15.0
    assert floor["trial"]["floor"] == 0.6
    assert "bench" not in grafts
    assert trays["bench"]["tray_size"] == 12
    assert new["trial"]["new"] == "Hamamelis mollis on Hamamelis virginiana"
    assert new["trial"]["standard"].endswith("on Hamamelis virginiana")
