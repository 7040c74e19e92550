"""Cuttings beside grafts: two sets of counts, never one."""

from __future__ import annotations

import math

import pandas as pd
import pytest

import takestats as ts
from takestats.answers.cuttings import rooted_shares
from tests.answers.demo_counts import counts_of, demo_records, demo_rows


@pytest.mark.parametrize("short", ["copper moth", "saffron wren"])
def test_the_demo_again_from_its_files(short: str) -> None:
    own = [row for row in demo_rows() if row.get("made_by") == "cutting" and row["scion"] == short]
    found = rooted_shares(demo_records()).table
    row = found[found["scion"].str.contains(short.title())].iloc[0]
    assert row["rooted"] == sum(int(cutting["taken"]) for cutting in own)
    assert row["struck"] == sum(int(cutting["grafted"]) for cutting in own)
    assert row["trays"] == len(own) == 4
    grafts = counts_of("2025-26", "settled", scion=short).values()
    assert row["taken"] == sum(int(graft["taken"]) for graft in grafts)
    assert row["grafts"] == sum(int(graft["grafted"]) - int(graft["missing"]) for graft in grafts)


def frame(**changes: object) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "season": ["2026"] * 4,
            "tray": list("ABCD"),
            "made_by": ["cutting", "cutting", "graft", "graft"],
            "scion": ["Acer rubrum 'Ember'"] * 4,
            "understock": [None, None, "Acer rubrum", "Acer rubrum"],
            "grafted": [40, 40, 20, 20],
            "taken": [3, 1, 18, 16],
            "count_date": ["2026-06-09"] * 2 + ["2026-06-16"] * 2,
        }
    ).assign(**changes)


def test_what_it_says_and_that_it_compares_nothing() -> None:
    rooted = rooted_shares(ts.records_from_frame(frame()))
    assert rooted.in_words() == (
        "Cuttings of Acer rubrum 'Ember', season 2026: 4 of 80 cuttings rooted in 2 trays, 5 % "
        "(95 % confidence interval 0.6 to 32), counted 9 June 2026. Grafts of it that season: 34 "
        "of 40 took in 2 trays, 85 % (53 to 97), counted 16 June 2026."
    )
    assert "are not compared" in rooted.notes[0]
    assert not {"difference", "p_value", "odds_ratio"} & set(rooted.table.columns)


def test_the_grafts_have_no_say_in_the_limits_of_the_cuttings() -> None:
    alone = rooted_shares(ts.records_from_frame(frame().iloc[:2])).table.iloc[0]
    beside = rooted_shares(ts.records_from_frame(frame())).table.iloc[0]
    assert (alone["low"], alone["high"]) == (beside["low"], beside["high"])
    assert math.isnan(alone["take_rate"])


def test_a_blank_scion_is_not_recorded_and_no_cuttings_is_no_row() -> None:
    blank = rooted_shares(ts.records_from_frame(frame(scion=None, understock=None))).table
    assert blank["scion"].tolist() == ["scion not recorded"]
    assert rooted_shares(ts.records_from_frame(frame().iloc[2:])).table.empty
