"""Seasons gone by: each by itself, never pooled."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.answers.history import season_history
from takestats.answers.rates import take_rates
from takestats.models.fit import fit_take
from tests.models.small_trials import bench, records_of, two_methods


def three_seasons() -> pd.DataFrame:
    old = two_methods().assign(season="2023-24", count_date="2024-06-15")
    old["taken"] = old["taken"] - 10
    middle = bench({"cleft": [(20, 20)] * 3}).assign(season="2024-25", count_date="2025-06-15")
    return pd.concat([two_methods(), old, middle], ignore_index=True)


def test_columns_and_order() -> None:
    table = season_history(records_of(three_seasons()), "method").table
    assert table.columns.tolist() == [
        "season", "method", "taken", "tried", "trays", "raw_rate", "raw_low", "raw_high",
    ]  # fmt: skip
    assert table["season"].tolist() == ["2023-24"] * 2 + ["2024-25"] + ["2025-26"] * 2
    assert table["method"].tolist() == ["cleft", "side veneer", "cleft", "cleft", "side veneer"]


def test_seasons_are_never_pooled() -> None:
    frame = three_seasons()
    together = season_history(records_of(frame), "method").table
    for season, mine in together.groupby("season"):
        alone = season_history(records_of(frame[frame["season"] == season]), "method").table
        pd.testing.assert_frame_equal(mine.reset_index(drop=True), alone)


def test_rates_and_limits_are_the_quick_form_of_that_season() -> None:
    frame = three_seasons()
    table = season_history(records_of(frame), "method").table
    newest = table[table["season"] == "2025-26"]
    quick = fit_take(records_of(two_methods()), ["method"], engine="quick")
    theirs = take_rates(quick, "method").table
    np.testing.assert_allclose(newest["raw_rate"], theirs["take_rate"])
    np.testing.assert_allclose(newest[["raw_low", "raw_high"]], theirs[["low", "high"]])
    assert newest["taken"].tolist() == [119, 138]
    assert newest["tried"].tolist() == [145, 145]


def test_overall_without_columns() -> None:
    table = season_history(records_of(three_seasons())).table
    assert table["season"].tolist() == ["2023-24", "2024-25", "2025-26"]
    assert table["tried"].tolist() == [290, 60, 290]
    assert table["raw_high"].iloc[1] == 1.0


def test_a_season_not_counted_yet_and_one_without_the_column_are_not_shown() -> None:
    frame = three_seasons()
    frame.loc[frame["season"] == "2025-26", ["taken", "count_date"]] = None
    frame["scion_wood"] = ["terminal"] * len(frame)
    frame.loc[frame["season"] == "2024-25", "scion_wood"] = None
    table = season_history(records_of(frame), "scion_wood").table
    assert table["season"].tolist() == ["2023-24"]


def test_the_words_name_the_season_the_level_and_the_interval() -> None:
    result = season_history(records_of(three_seasons()), "method", level=0.9)
    assert result.sentences[0].startswith("Season 2023-24, cleft: ")
    assert all("90 % confidence interval" in sentence for sentence in result.sentences)
    assert "not as a test" in result.notes[0]


@pytest.mark.parametrize("out_of", ["made", "live_understock"])
def test_what_it_is_a_share_of(out_of: str) -> None:
    frame = two_methods().assign(missing=1, understock_dead=1)
    frame["taken"] = frame["taken"] - 3
    table = season_history(records_of(frame), out_of=out_of).table
    assert table["tried"].iloc[0] == 290 - 8 - (8 if out_of == "live_understock" else 0)
