"""Whom an averaged take speaks of, and every question that is refused."""

from __future__ import annotations

import os
from pathlib import Path

import pandas as pd
import pytest

from takestats.answers.population import ask, comparable, level_sets, names, population
from takestats.errors import TakeError
from takestats.models.fit import fit_take
from tests.answers.refusals import refusals, told
from tests.models.small_trials import records_of, two_by_two, two_methods

MESSAGES = Path(__file__).parent / "messages.txt"
BOTH = ["method", "scion_wood"]


def test_every_refusal_is_pinned_where_a_person_can_proof_read_it() -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    if os.environ.get("TAKESTATS_PIN"):
        MESSAGES.write_text(told(), encoding="utf-8")
    assert told() == MESSAGES.read_text(encoding="utf-8")


def test_every_refusal_has_its_four_parts() -> None:
    for name, call in refusals():
        with pytest.raises(TakeError) as refused:
            call()
        parts = [refused.value.where, refused.value.what, refused.value.rule]
        assert all([*parts, refused.value.next_step]), name


def test_one_name_several_or_none() -> None:
    assert names("method") == ("method",)
    assert names(["a", "b"]) == ("a", "b")
    assert names(None) == ()


def test_a_population_is_the_lines_with_the_level_set() -> None:
    model = fit_take(records_of(two_by_two()), BOTH, engine="quick")
    question = ask(model, "method", None, None, None, "grafts")
    assert sum(question.base.weights.values()) == pytest.approx(
        sum(question.base.shares().values()) * sum(question.base.weights.values())
    )
    cleft = population(question, ("cleft",))
    assert {row[0] for row in cleft.weights} == {"cleft"}
    assert cleft.shares() == {("cleft", "terminal"): 0.5, ("cleft", "sub_terminal"): 0.5}


def test_strata_without_trays_drop_out_of_every_population() -> None:
    frame = two_by_two()
    frame = frame[~((frame["method"] == "cleft") & (frame["scion_wood"] == "terminal"))]
    model = fit_take(records_of(frame), BOTH, engine="quick")
    question = ask(model, "method", None, None, None, "grafts")
    sets = level_sets(model, ["method"])
    kept, lacking = comparable(model, question, [population(question, s) for s in sets])
    assert lacking == ["cleft, terminal"]
    for item in kept:
        assert {row[1] for row in item.weights} == {"sub_terminal"}


def test_level_sets_are_the_cells_with_trays_in_the_order_of_the_records() -> None:
    model = fit_take(records_of(two_by_two()), BOTH, engine="quick")
    assert level_sets(model, ["method"]) == [("cleft",), ("side veneer",)]
    assert len(level_sets(model, BOTH)) == 4
    assert level_sets(model, []) == [()]


def test_the_order_of_the_records_is_the_order_of_the_levels() -> None:
    turned = two_methods().iloc[::-1].reset_index(drop=True)
    assert isinstance(turned, pd.DataFrame)
    assert fit_take(records_of(turned), "method").levels("method") == ["side veneer", "cleft"]
