"""Later failures by relation: counted again, every season by itself."""

from __future__ import annotations

import pandas as pd

import takestats as ts
from takestats.answers.later_failures import later_failures
from takestats.answers.stages import stage_shares
from tests.answers.demo_counts import counts_of, demo_records

SAME_SPECIES = {"grey sentry", "last lamp"}


def test_failures_again_from_the_files() -> None:
    found = later_failures(demo_records()).table.set_index(["season", "relation"])
    assert len(found) == 4
    for season in ("2023-24", "2024-25"):
        settled, spring = counts_of(season, "settled"), counts_of(season, "next spring")
        for relation in ("same species", "same genus"):
            trays = [
                tray
                for tray, row in settled.items()
                if (row["scion"] in SAME_SPECIES) == (relation == "same species")
            ]
            taken = sum(int(settled[tray]["taken"]) for tray in trays)
            alive = sum(int(spring[tray]["taken"]) for tray in trays)
            row = found.loc[(season, relation)]
            assert (row["failed"], row["out_of"], row["trays"]) == (
                taken - alive,
                taken,
                len(trays),
            )
            assert row["combinations"] == {"same species": 1, "same genus": 3}[relation]
            assert row["low"] <= row["failed_share"] <= row["high"]


def test_a_failure_is_one_less_the_survival() -> None:
    shares = stage_shares(demo_records(), "relation").row("alive later", "same genus", "2024-25")
    found = later_failures(demo_records()).table
    row = found[(found["season"] == "2024-25") & (found["relation"] == "same genus")].iloc[0]
    assert row["low"] == 1 - shares["high"]
    assert row["high"] == 1 - shares["low"]


def test_what_it_says() -> None:
    assert later_failures(demo_records()).sentences == (
        "Season 2023-24, dead later of 100 that took, 95 % confidence interval in brackets: same "
        "genus 8 (6 to 11; 60 of 750, 3 combinations, 30 trays, counted 22 April 2025) and same "
        "species 0.8 (0.1 to 4; 2 of 251, 1 combination, 10 trays, counted 22 April 2025).",
        "Season 2024-25, dead later of 100 that took, 95 % confidence interval in brackets: same "
        "genus 8 (6 to 11; 54 of 689, 3 combinations, 30 trays, counted 21 April 2026) and same "
        "species 3 (1.0 to 6; 6 of 239, 1 combination, 10 trays, counted 21 April 2026).",
    )
    assert "seen together, not shown to cause" in later_failures(demo_records()).notes[0]


def test_without_a_later_count_it_says_so() -> None:
    frame = pd.DataFrame({"season": ["2026"], "tray": ["A"], "grafted": [9], "taken": [5]})
    found = later_failures(ts.records_from_frame(frame))
    assert found.table.empty
    assert found.in_words() == (
        "A later count is not recorded in any season: how many live on is not known."
    )
