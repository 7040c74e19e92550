"""Past seasons: every season, every combination, culls only where they were recorded."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from takestats.order.past_seasons import of_others, past_seasons
from takestats.order.tray_size import tray_size_of
from takestats.records.read import records_from_frame
from takestats.records.settings import TrialSettings
from tests.answers.grouped_trials import SCIONS
from tests.order.small_orders import MOTH, TRIAL, frame, records

ICE = "Hamamelis japonica 'Thin Ice' on Hamamelis virginiana"


def test_takes_and_culls_with_what_is_behind_them() -> None:
    past = past_seasons(records(combinations=5))
    assert len(past.takes) == 5
    assert set(past.kept) == set(past.takes) - {ICE}
    rows = frame()
    own = rows[rows["scion"] == SCIONS[0]]
    take, kept = past.takes[MOTH], past.kept[MOTH]
    assert (take.seasons, take.trays, take.plants) == (3, 12, own["grafted"].sum())
    assert kept.plants == own["taken"].sum()
    assert take.pooled
    assert past.plants[MOTH] == ("Hamamelis × intermedia 'Copper Moth'", "Hamamelis virginiana")


def test_a_cull_of_the_newest_season_may_still_be_to_come() -> None:
    rows = frame(combinations=1)
    rows.loc[rows["season"] == rows["season"].max(), ["saleable", "saleable_date"]] = [np.nan, None]
    past = past_seasons(records_from_frame(rows, trial=TRIAL))
    assert (past.takes[MOTH].seasons, past.kept[MOTH].seasons) == (3, 2)
    # Take and cull together only where every tray has both.
    assert not past.sold
    assert set(past_seasons(records()).sold) == set(past_seasons(records()).takes)


def test_a_tray_of_two_rows_is_one_tray_and_none_taken_is_none_sold() -> None:
    rows = frame(combinations=1, seasons=1)
    rows["saleable_date"] = None
    rows.loc[0, ["taken", "saleable"]] = [0, np.nan]
    split = rows.iloc[[1]].assign(scion_wood="sub_terminal", grafted=10, taken=8, saleable=7)
    rows.loc[1, ["scion_wood", "grafted", "taken", "saleable"]] = ["terminal", 20, 15, 14]
    past = past_seasons(records_from_frame(pd.concat([rows, split]), trial=TRIAL))
    assert past.sold[MOTH].trays == 4
    assert past.sold[MOTH].plants == 120
    tray = past.graded[past.graded["tried"] == 30].iloc[1]
    assert (tray["taken"], tray["saleable"]) == (23, 21)


def test_others_need_two() -> None:
    past = past_seasons(records(combinations=5))
    assert of_others(past, [MOTH], "take") is None
    found = of_others(past, list(past.takes)[:3], "take")
    assert found is not None
    assert found.spread is None
    assert found.plants == sum(past.takes[name].plants for name in list(past.takes)[:3])


def test_tray_sizes() -> None:
    past = past_seasons(records())
    assert tray_size_of(24, past, TrialSettings()) == (24.0, "given")
    assert tray_size_of(None, past, TrialSettings(bench={"tray_size": 50})) == (50.0, "settings")
    assert tray_size_of(None, past, TrialSettings()) == (30.0, "grafted")
    sized = past_seasons(records_from_frame(frame(combinations=1).assign(tray_size=40)))
    assert tray_size_of(None, sized, TrialSettings()) == (40.0, "records")
    assert math.isnan(tray_size_of(None, None, TrialSettings()).cells)


@pytest.mark.parametrize("saleable", [True, False])
def test_no_saleable_plants_no_culls(saleable: bool) -> None:
    assert bool(past_seasons(records(saleable=saleable, combinations=1)).kept) == saleable
