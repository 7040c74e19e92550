"""Shares of the stages: counted again by hand, true to their limits, blanks said."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

import takestats as ts
from takestats.answers.stage_lines import stage_lines
from takestats.answers.stages import stage_shares
from tests.answers.demo_counts import counts_of, demo_records


def quick_by_hand(groups: list[list[tuple[int, int]]], group: int) -> tuple[float, float]:
    """Wilson limits on an effective number, written out again from its formula.

    Dispersion through the analysis-of-variance correlation (Ridout, Demetrio & Firth 1999,
    Biometrics 55:137) pooled within groups; Wilson: Newcombe 1998, Stat Med 17:857, method 3.
    """
    trays = sum(len(own) for own in groups)
    df = trays - len(groups)
    k = [np.array([a for a, _ in own], float) for own in groups]
    n = [np.array([b for _, b in own], float) for own in groups]
    total = sum(x.sum() for x in n)
    rate = [a.sum() / b.sum() for a, b in zip(k, n, strict=True)]
    between = sum((b * (a / b - p) ** 2).sum() for a, b, p in zip(k, n, rate, strict=True)) / df
    within = sum((a * (1 - a / b)).sum() for a, b in zip(k, n, strict=True)) / (total - trays)
    n0 = sum(b.sum() - (b**2).sum() / b.sum() for b in n) / df
    icc = (between - within) / (between + (n0 - 1) * within)
    raw = 1 + (sum((b**2).sum() for b in n) / total - 1) * icc
    phi = max(1.0, (df * raw + 4 * (1 + 0.1 * (total / trays - 1))) / (df + 4))
    t = stats.t.ppf(0.975, df + 4)
    size, p = n[group].sum() / phi, rate[group]
    middle, spread = 2 * size * p + t * t, t * math.sqrt(t * t + 4 * size * p * (1 - p))
    return (middle - spread) / (2 * (size + t * t)), (middle + spread) / (2 * (size + t * t))


@pytest.mark.parametrize("season", ["2023-24", "2024-25", "2025-26"])
@pytest.mark.parametrize("stage", ["taken", "alive later", "saleable of taken", "saleable of made"])
def test_every_number_by_method_again_from_the_files(season: str, stage: str) -> None:
    result = stage_shares(demo_records(), "method", season=season)
    groups = []
    for method in ("cleft", "side veneer"):
        settled = counts_of(season, "settled", method=method)
        spring = counts_of(season, "next spring", method=method)
        pairs = {
            "taken": lambda r: (r["taken"], int(r["grafted"]) - int(r["missing"])),
            "alive later": lambda r, s=spring: (s[r["tray"]]["taken"], r["taken"]),
            "saleable of taken": lambda r: (r["saleable"], r["taken"]),
            "saleable of made": lambda r: (r["saleable"], int(r["grafted"]) - int(r["missing"])),
        }[stage]
        if stage == "alive later" and not spring:
            assert math.isnan(result.row(stage, method)["share"])
            assert result.row(stage, method)["trays"] == 0
            return
        groups.append([tuple(int(x) for x in pairs(row)) for row in settled.values()])
    for index, method in enumerate(("cleft", "side veneer")):
        row = result.row(stage, method)
        alive, out_of = (sum(pair[i] for pair in groups[index]) for i in (0, 1))
        assert (row["alive"], row["out_of"], row["trays"]) == (alive, out_of, len(groups[index]))
        assert row["share"] == pytest.approx(alive / out_of, rel=1e-12)
        low, high = quick_by_hand(groups, index)
        assert (row["low"], row["high"]) == pytest.approx((low, high), rel=1e-9)


def test_what_it_says_of_the_demo() -> None:
    assert stage_shares(demo_records(), season="2024-25").in_words() == (
        "Season 2024-25: of 100 grafts made 80 took (95 % confidence interval 75 to 85; 928 of "
        "1,157, 40 trays, counted 17 to 18 June 2025); of 100 that took 94 were alive later (91 to "
        "95; 868 of 928, 40 trays, counted 21 April 2026); of 100 that took 90 were saleable (87 "
        "to 92; 832 of 928, 40 trays, counted 17 to 18 June 2025); of 100 made 72 were saleable "
        "(66 to 77; 832 of 1,157, 40 trays, counted 17 to 18 June 2025)."
    )


def records(**changes: object) -> ts.Records:
    frame = pd.DataFrame(
        {
            "season": ["2026"] * 4,
            "tray": list("ABCD"),
            "method": ["cleft", "cleft", "side veneer", "side veneer"],
            "grafted": [20, 20, 20, 20],
            "taken": [18, 0, 20, 15],
            "saleable": [15, 0, None, 15],
            "alive_later": [17, None, 20, None],
            "later_count_date": ["2027-04-20", None, "2027-04-20", None],
        }
    ).assign(**changes)
    return ts.records_from_frame(frame)


def test_only_trays_that_record_both_counts_enter_a_share_of_those_that_took() -> None:
    shares = stage_shares(records())
    later = shares.row("alive later")
    assert (later["alive"], later["out_of"], later["trays"]) == (37.0, 38.0, 2.0)
    assert later["counted_trays"] == 4.0
    assert (later["first_date"], later["last_date"]) == ("2027-04-20", "2027-04-20")
    sale = shares.row("saleable of taken")
    assert (sale["alive"], sale["out_of"], sale["trays"]) == (30.0, 33.0, 3.0)
    made = shares.row("saleable of made")
    assert (made["alive"], made["out_of"], made["trays"]) == (30.0, 60.0, 3.0)


def test_blank_columns_are_not_recorded_and_none_taken_has_no_share_after_it() -> None:
    frame = pd.DataFrame({"season": ["2026"] * 2, "tray": ["A", "B"], "grafted": [9, 9]})
    shares = stage_shares(ts.records_from_frame(frame.assign(taken=[0, 0], saleable=[0, 0])))
    assert math.isnan(shares.row("alive later")["alive"])
    assert math.isnan(shares.row("saleable of taken")["share"])
    assert shares.row("saleable of taken")["out_of"] == 0.0
    assert shares.row("taken")["low"] == 0.0
    assert "alive later not recorded" in shares.in_words()


def test_more_alive_later_than_taken_is_left_out_and_said() -> None:
    odd = records(alive_later=[19, None, 20, None])
    shares = stage_shares(odd)
    assert shares.row("alive later")["out_of"] == 20.0
    assert any("1 line with more plants alive" in note for note in shares.notes)


def test_the_latest_count_that_most_lines_have_is_the_later_one() -> None:
    rows = [("A", "settled", 18), ("A", "later", 17), ("A", "next spring", 16)]
    rows += [("B", "settled", 18), ("B", "later", 15)]
    frame = pd.DataFrame(rows, columns=["tray", "count", "taken"])
    frame = frame.assign(season="2026", grafted=20)
    lines = stage_lines(ts.records_from_frame(frame))
    assert lines.later == {"2026": "later"}
    assert lines.table["alive_later"].tolist() == [17.0, 15.0]


def test_without_trays_every_graft_stands_alone() -> None:
    frame = pd.DataFrame({"season": ["2026"] * 2, "grafted": [20, 20], "taken": [18, 10]})
    shares = stage_shares(ts.records_from_frame(frame, trial={"records": {"trays": "none"}}))
    row = shares.row("taken")
    low, high = stats.binomtest(28, 40).proportion_ci(method="wilson")
    assert (row["low"], row["high"]) == pytest.approx((low, high), rel=1e-4)  # t with 1e6 df
    assert math.isnan(row["trays"])


def test_live_understock_is_out_of_live_understock() -> None:
    frame = {"season": ["2026"], "tray": ["A"], "grafted": [20], "taken": [15]}
    known = ts.records_from_frame(pd.DataFrame(frame | {"understock_dead": [4], "missing": [1]}))
    assert stage_shares(known, out_of="live_understock").row("taken")["out_of"] == 15.0
    assert stage_shares(known).row("taken")["out_of"] == 19.0


def test_an_unknown_column_is_told_with_the_nearest() -> None:
    with pytest.raises(ts.UnknownColumnError):
        stage_shares(records(), "metod")


@settings(max_examples=8)
@given(
    counts=st.lists(
        st.tuples(st.integers(1, 30), st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=8
    ),
    part=st.integers(0, 30),
)
def test_splitting_the_row_of_a_tray_changes_nothing(
    counts: list[tuple[int, float, float]], part: int
) -> None:
    """Parts of one tray, told apart by a column nobody asks about, are one tray."""
    whole, split = [], []
    for index, (grafted, took, fit) in enumerate(counts):
        taken = round(grafted * took)
        row = {
            "tray": f"T{index}",
            "grafted": grafted,
            "taken": taken,
            "saleable": round(taken * fit),
        }
        whole.append(row | {"donor": "a"})
        left = {
            name: min(part, value) if isinstance(value, int) else value
            for name, value in row.items()
        }
        right = {
            name: value - left[name] if isinstance(value, int) else value
            for name, value in row.items()
        }
        if left["grafted"] and right["grafted"] and right["taken"] <= right["grafted"]:
            split += [left | {"donor": "a"}, right | {"donor": "b"}]
        else:
            split.append(row | {"donor": "a"})
    tables = [
        stage_shares(ts.records_from_frame(pd.DataFrame(rows).assign(season="2026"))).table
        for rows in (whole, split)
    ]
    pd.testing.assert_frame_equal(tables[0], tables[1], rtol=1e-12)
