"""Each group's own take, a new group's, a new tray's, and the belief that answers with them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from takestats.errors import DesignError
from takestats.models.belief import Population
from takestats.models.design import Design
from takestats.models.layered import sample_layers
from takestats.models.layered_belief import LayeredBelief
from takestats.models.layered_groups import group_draws
from takestats.models.layered_posterior import LayeredPosterior

Floats = NDArray[np.float64]

# Taken of 20 in three trays of each of six combinations, methods in turn.
TAKEN = [[19, 18, 20], [12, 15, 11], [17, 16, 18], [20, 19, 20], [9, 14, 13], [18, 17, 15]]
UNIT = np.repeat([f"C{i}" for i in range(6)], 3)
K = np.array(TAKEN, dtype=float).ravel()
N = np.full(18, 20.0)
METHOD = np.tile([0.0, 1.0, 0.0, 1.0, 1.0, 0.0], 3)
X = np.column_stack([np.ones(18), METHOD])


@pytest.fixture(scope="module")
def post() -> LayeredPosterior:
    return sample_layers(K, N, X, UNIT, layer="grouping", level=METHOD)


def test_a_group_is_pulled_towards_what_is_usual_and_keeps_its_place() -> None:
    plain = sample_layers(K, N, np.ones((18, 1)), UNIT, layer="grouping")
    own = np.quantile(group_draws(plain).takes([[1.0]]), [0.025, 0.5, 0.975], axis=0)
    raw = np.array(TAKEN).sum(axis=1) / 60
    usual = plain.quantiles(plain.averaged_take([[1.0]])[:, 0], [0.5])[0]
    order = np.argsort(raw)
    assert np.all(np.diff(own[1][order]) > 0)
    assert own[1][order[0]] > raw[order[0]]
    assert own[1][order[-1]] < raw[order[-1]]
    assert np.all((own[0] < raw) & (raw < own[2]))
    assert own[1].min() < usual < own[1].max()


def test_a_new_group_is_less_certain_than_any_seen_and_a_new_tray_less_still() -> None:
    plain = sample_layers(K, N, np.ones((18, 1)), UNIT, layer="grouping")
    draws = group_draws(plain)
    own = np.quantile(draws.takes([[1.0]]), [0.05, 0.95], axis=0)
    group = np.quantile(draws.new_group([[1.0]]), [0.05, 0.95])
    tray = np.quantile(draws.new_tray([1.0]), [0.05, 0.95])
    known = np.quantile(draws.new_tray([1.0], "C1"), [0.05, 0.95])
    assert np.all(np.diff(own, axis=0) < np.diff(group))
    assert np.diff(tray) > np.diff(group)
    assert known[0] < own[0, 1]
    assert own[1, 1] < known[1]
    assert np.diff(known) < np.diff(tray)


def test_the_mean_of_new_groups_is_the_averaged_take(post: LayeredPosterior) -> None:
    draws = group_draws(post)
    for row in ([1.0, 0.0], [1.0, 1.0]):
        averaged = post.averaged_take([row])[:, 0] @ post.weights
        # Means of 16,384 draws with an SD of about .2: 3 standard errors are .005.
        assert draws.new_group([row]).mean() == pytest.approx(averaged, abs=0.005)
        assert draws.new_tray(row).mean() == pytest.approx(averaged, abs=0.005)


def test_a_mix_of_rows_and_the_same_digits_again(post: LayeredPosterior) -> None:
    one, two = group_draws(post), group_draws(post)
    assert np.array_equal(one.effects, two.effects)
    assert one.names.tolist() == [f"C{i}" for i in range(6)]
    each = np.stack([one.takes(row[None, :]) for row in X[:2]])
    mixed = one.takes(X[:2], [1.0, 3.0])
    np.testing.assert_allclose(mixed, 0.25 * each[0] + 0.75 * each[1], atol=1e-12)
    own = one.takes(X[:2], np.tile([[1.0, 0.0], [0.0, 1.0]], (3, 1)))
    np.testing.assert_allclose(own[:, ::2], each[0][:, ::2], atol=1e-12)


def test_what_cannot_be_asked() -> None:
    rows = sample_layers(K, N, X, UNIT, layer="rows")
    with pytest.raises(DesignError, match="several rows in each tray"):
        group_draws(rows)
    draws = group_draws(sample_layers(K[:6], N[:6], np.ones((6, 1)), UNIT[:6], layer="grouping"))
    with pytest.raises(DesignError, match="'C7'"):
        draws.new_tray([1.0], "C7")


def belief(layer: str = "grouping") -> LayeredBelief:
    design = Design(
        factors=("method",), levels={"method": ("cleft", "side")}, curves=(), interactions=()
    )
    patterns = [("side",) if m else ("cleft",) for m in METHOD]
    fitted = sample_layers(K, N, design.matrix(patterns), UNIT, layer=layer, level=METHOD)  # type: ignore[arg-type]
    return LayeredBelief(fitted, design, patterns, N, called="combination")


def population(level: str) -> Population:
    return Population(columns=("method",), weights={(level,): 1.0})


@pytest.mark.parametrize("layer", ["grouping", "rows"])
def test_the_belief_answers_every_question(layer: str) -> None:
    told = belief(layer)
    a, b = population("cleft"), population("side")
    take, gap = told.take(a, 0.95), told.difference(a, b, 0.95)
    assert 0.0 < take.low < take.estimate < take.high < 1.0
    assert gap.low < gap.estimate < gap.high
    mirror = told.difference(b, a, 0.95)
    assert (mirror.low, mirror.high) == pytest.approx((-gap.high, -gap.low), abs=2e-4)
    for same_tray in (False, True):
        odds = told.log_odds_ratio(a, b, 0.95, same_tray=same_tray)
        assert odds.low < odds.estimate < odds.high
    spread = told.spread("cleft", 0.95)
    assert spread is not None
    assert 0.0 < spread.low < spread.estimate < spread.high < 1.0
    assert told.more_uneven("cleft", "side") == 0.5
    draws = told.tray_draws([("cleft",), ("side",)])
    assert draws.takes.shape == draws.correlations.shape
    assert np.median(draws.takes[:, 0]) == pytest.approx(take.estimate, abs=0.01)
    # The prediction of a tray of any group holds what its group brings as well.
    assert np.median(draws.correlations[:, 0]) > 0.9 * spread.estimate


def test_notes() -> None:
    notes = belief().notes
    assert notes[0].startswith("Tray model with a layer of 6 combinations above the trays")
    assert "a new tray of a new combination" in notes[1]
    rows = belief("rows").notes
    assert "what the tray shares is taken out" in rows[0]
    few = sample_layers(K[:6], N[:6], np.ones((6, 1)), UNIT[:6], layer="grouping")
    design = Design(factors=(), levels={}, curves=(), interactions=())
    told = LayeredBelief(few, design, [()] * 6, N[:6], called="season")
    assert any("rests on an assumed range" in note for note in told.notes)
