"""One grouping asked as any engine is asked."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special

from takestats.models.belief import Population
from takestats.models.grouped_belief import GroupedBelief, GroupedGridBelief, grouped_grid_belief

NAMES = ["east", "north", "south", "west"] * 3
TAKEN = np.array([31.0, 36, 38, 40, 33, 37, 39, 40, 30, 35, 39, 38])
EVERY = Population(columns=(), weights={(): 1.0})


def belief(*, no_trays: bool = False) -> GroupedGridBelief:
    return grouped_grid_belief(TAKEN, np.full(12, 40.0), NAMES, "donor", no_trays=no_trays)


def test_it_is_what_answers_ask_for() -> None:
    found = belief()
    assert isinstance(found, GroupedBelief)
    assert found.groups == ("east", "north", "south", "west")
    assert found.missing([(), ("x",)]) == {("x",)}
    assert found.more_uneven("east", "west") == 0.5


def test_the_take_over_all_is_the_mean_over_groups_and_trays() -> None:
    found = belief()
    take = found.take(EVERY, 0.95)
    mean = found.mean_take(0.95)
    assert (take.estimate, take.low, take.high) == (mean.estimate, mean.low, mean.high)
    odds = found.log_odds_contrast([(1.0, EVERY)], 0.95)
    assert odds.estimate == pytest.approx(special.logit(take.estimate))
    assert found.difference(EVERY, EVERY, 0.95).p_value == 1.0


def test_draws_of_trays_have_the_mean_take_and_both_spreads() -> None:
    found = belief()
    draws = found.tray_draws([(), ()])
    assert draws is not None
    assert draws.takes.shape == (1024, 2)
    assert np.median(draws.takes[:, 0]) == pytest.approx(found.mean_take(0.95).estimate, abs=0.005)
    within = found.spread(None, 0.95)
    assert within is not None
    assert np.median(draws.correlations[:, 0]) > within.estimate


def test_without_trays_there_is_no_spread_between_them() -> None:
    found = belief(no_trays=True)
    assert found.spread(None, 0.95) is None
    assert found.tray_draws([()]) is None
    assert "No trays recorded" in found.notes[0]


def test_four_groups_rest_on_an_assumed_spread() -> None:
    assert any("rests on an assumed spread" in note for note in belief().notes)
