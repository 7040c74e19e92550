"""What is asked of an order: every refusal has four parts and is pinned as text."""

from __future__ import annotations

import os
from pathlib import Path

from takestats.order.asked import check_assurance, given_each, match_name, value_for
from takestats.records.settings import TrialSettings
from tests.order.refusals import told

MESSAGES = Path(__file__).parent / "messages.txt"


def test_every_refusal_is_pinned_where_a_person_can_proof_read_it() -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    found = told()
    if os.environ.get("TAKESTATS_PIN"):
        MESSAGES.write_text(found, encoding="utf-8")
    assert "NOT REFUSED" not in found
    assert found == MESSAGES.read_text(encoding="utf-8")


def test_the_ends_of_the_assurance_are_allowed() -> None:
    assert check_assurance(0.5) == 0.5
    assert check_assurance(0.999) == 0.999


def test_a_value_of_a_name_stands_before_that_for_all() -> None:
    settings = TrialSettings(work={"usable_share": {"": 0.8, "virginiana": 0.7}})
    settings.names["virginiana"] = "Hamamelis virginiana"
    each = given_each(settings, "usable_share", ["Hamamelis virginiana"], "an understock")
    assert value_for(each, "Hamamelis virginiana") == 0.7
    assert value_for(each, "Acer rubrum") == 0.8


def test_a_name_without_a_past_is_none() -> None:
    plants = {"A on B": ("A", "B")}
    assert match_name("a ON b".replace("ON", "on"), plants) == "A on B"
    assert match_name("a", plants) == "A on B"
    assert match_name("C on B", plants) is None
