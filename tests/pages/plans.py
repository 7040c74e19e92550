"""One plan of each kind, made once with few trials, for every test of pages of plans."""

from __future__ import annotations

from functools import lru_cache

import takestats as ts
from takestats.pages.plan_page import Plan
from takestats.planning.stage_plans import stage_plans
from tests.planning.few_trials import few_trials
from tests.planning.past_seasons import past

KINDS = (
    "tell_apart",
    "both_in_each_tray",
    "no_worse",
    "above_floor",
    "estimate",
    "two_stage",
    "single_grafts",
    "new",
    "new_few",
    "new_range",
)


@lru_cache(maxsize=1)
def past_records() -> ts.Records:
    return past()


@lru_cache(maxsize=16)
def plan_of(kind: str) -> Plan:
    with few_trials():
        return _made(kind)


def _made(kind: str) -> Plan:
    if kind == "tell_apart":
        return ts.trays_to_tell_apart(0.6, 0.95, 12, icc=[0.05, 0.2])
    if kind == "both_in_each_tray":
        return ts.trays_to_tell_apart(0.6, 0.95, 12, icc=0.1, within_trays=True)
    if kind == "no_worse":
        return ts.trays_to_show_no_worse(0.9, 0.95, 0.15, 12, icc=[0.05])
    if kind == "above_floor":
        return ts.trays_to_exceed_floor(0.6, 0.9, 12, past=past_records())
    if kind == "estimate":
        return ts.trays_to_estimate(0.9, 0.15, 12, icc=[0.05])
    if kind == "two_stage":
        return stage_plans(0.7, 0.9, tray_size=12)
    if kind == "single_grafts":
        return stage_plans(0.7, 0.9)
    grafts = {"new": 2000, "new_few": 30, "new_range": 60}[kind]
    return ts.plan_new_combination(
        "Hamamelis mollis",
        "Hamamelis virginiana",
        None if kind == "new_range" else past_records(),
        tray_size=24 if kind == "new_few" else 12,
        at_most_grafts=grafts,
    )
