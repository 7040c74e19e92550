from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from takestats.errors import CountsError
from takestats.records.plants import plant_name, relation_of

# The source of each case stands beside it in the file.
CASES = json.loads(
    (Path(__file__).parents[1] / "reference" / "names_and_units.json").read_text("utf-8")
)
NAMES = [case for case in CASES if case["topic"] == "10 names"]


@pytest.mark.parametrize("case", NAMES, ids=[case["id"] for case in NAMES])
def test_a_published_form_of_name_is_read(case: dict[str, Any]) -> None:
    found = asdict(plant_name(case["data"]["text"]))
    told = {key: value for key, value in found.items() if value}
    assert told == case["expected"]


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("Hamamelis x intermedia ‘Jelena’", "Hamamelis × intermedia 'Jelena'"),
        ("hamamelis × intermedia 'Jelena'", "Hamamelis × intermedia 'Jelena'"),
        ("Hamamelis ×intermedia", "Hamamelis × intermedia"),
        ("×Cuprocyparis leylandii", "× Cuprocyparis leylandii"),
        ('Carpinus betulus "Grey Sentry"', "Carpinus betulus 'Grey Sentry'"),
        ("Carpinus betulus cv. Grey Sentry", "Carpinus betulus 'Grey Sentry'"),
        ("ACER PALMATUM", "Acer palmatum"),
        ("Acer palmatum ssp. amoenum", "Acer palmatum subsp. amoenum"),
        ("Acer palmatum Dissectum Group", "Acer palmatum Dissectum Group"),
        ("Malus 'Pilgrim's Own'", "Malus 'Pilgrim's Own'"),
        ("Thuja orientalis (syn. Platycladus orientalis)", "Thuja orientalis"),
        ("Hamamelis × 'Last Lamp'", "Hamamelis × 'Last Lamp'"),
        ("Quercus spp.", "Quercus sp."),
        ("Carpinus", "Carpinus"),
    ],
)
def test_other_ways_to_write_a_name_come_to_one_form(typed: str, shown: str) -> None:
    assert str(plant_name(typed)) == shown
    assert plant_name(shown) == plant_name(typed)


@pytest.mark.parametrize(
    "typed",
    ["", "   ", "12", "Acer rubrum October Glory", "Carpinus betulus 'Grey", "×", "Hamamelis ×",
     "Quercus robur × Quercus petraea"],
)  # fmt: skip
def test_what_is_not_a_name_is_refused_in_four_parts(typed: str) -> None:
    with pytest.raises(CountsError) as refused:
        plant_name(typed)
    assert refused.value.where == "plant name"
    assert refused.value.what == f'"{typed}"'
    assert refused.value.rule
    assert refused.value.next_step


@pytest.mark.parametrize(
    ("scion", "understock", "relation"),
    [
        ("Hamamelis virginiana 'Last Lamp'", "Hamamelis virginiana", "same species"),
        ("Hamamelis × intermedia 'Jelena'", "Hamamelis japonica", "same genus"),  # a parent
        ("Hamamelis mollis", "Hamamelis virginiana", "same genus"),
        ("Hamamelis mollis", "Parrotia persica", "other genus"),
        ("Hamamelis 'Last Lamp'", "Hamamelis virginiana", "undetermined"),
        ("Quercus sp.", "Quercus robur", "undetermined"),
        ("Quercus sp.", "Carpinus betulus", "other genus"),
        ("× Cuprocyparis leylandii", "Cupressus sempervirens", "undetermined"),
        ("+ Laburnocytisus 'Adamii'", "Laburnum anagyroides", "undetermined"),
    ],
)
def test_the_relation_of_two_plants(scion: str, understock: str, relation: str) -> None:
    assert relation_of(plant_name(scion), plant_name(understock)) == relation


def test_the_relation_to_an_unread_name_is_undetermined() -> None:
    assert relation_of(None, plant_name("Quercus robur")) == "undetermined"
