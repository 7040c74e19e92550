from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from takestats.records.read import records_from_frame
from takestats.records.result import Records
from takestats.records.spellings import spelling_key


def read(columns: dict[str, list[Any]], **settings: Any) -> Records:
    size = len(next(iter(columns.values())))
    trays = {"tray": [f"T{i}" for i in range(size)], "grafted": [9] * size, "taken": [7] * size}
    return records_from_frame(pd.DataFrame({**trays, **columns}), **settings)


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [("North", "north", True), ("Lumière", "LUMIERE", True), ("A B", "ab", True),
     ("1 2", "12", False), ("T1", "T2", False), ("‘Jelena’", "'jelena'", True)],
)  # fmt: skip
def test_capitals_accents_and_spaces_do_not_make_another_word(
    one: str, other: str, same: bool
) -> None:
    assert (spelling_key(one) == spelling_key(other)) is same


def test_a_plant_takes_the_spelling_used_most_and_says_so() -> None:
    records = read({"scion": ["Hamamelis 'jelena'", "Hamamelis 'Jelena'", "Hamamelis 'Jelena'"]})
    assert records.trays["scion"].tolist() == ["Hamamelis 'Jelena'"] * 3
    assert records.changes[["row", "typed", "why"]].to_numpy().tolist() == [
        [1, "Hamamelis 'jelena'", "one spelling for a plant"]
    ]
    assert records.problems.empty


def test_the_spelling_of_the_settings_goes_first() -> None:
    settings = {"names": {"j": "Hamamelis 'Jelena'"}}
    records = read({"scion": ["Hamamelis 'JELENA'", "Hamamelis 'JELENA'", "j"]}, trial=settings)
    assert records.trays["scion"].unique().tolist() == ["Hamamelis 'Jelena'"]


def test_other_words_that_look_alike_are_asked_about_and_kept_apart() -> None:
    records = read({"grafter": ["RB", "rb", "RB", "rb"], "colour": ["Red", "red", "red", "red"]})
    told = records.problems[["row", "column", "value"]].to_numpy().tolist()
    assert told == [[1, "colour", "Red"], [2, "grafter", "rb"]]  # once, at the rarer spelling
    assert records.trays["grafter"].tolist() == ["RB", "rb", "RB", "rb"]


def test_a_note_may_be_spelt_in_any_way() -> None:
    assert read({"note": ["wet", "Wet", "-"]}).problems.empty
