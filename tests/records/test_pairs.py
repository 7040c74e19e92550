from __future__ import annotations

import pandas as pd
import pytest

from takestats.records.pairs import split_pair
from takestats.records.read import records_from_frame


@pytest.mark.parametrize(
    ("text", "pair"),
    [
        ("Hamamelis mollis on Hamamelis virginiana", ("Hamamelis mollis", "Hamamelis virginiana")),
        ("jelena / virginiana", ("jelena", "virginiana")),
        ("jelena/virginiana", ("jelena", "virginiana")),
        ("Malus 'Late on Sunday' on M. x", ("Malus 'Late on Sunday'", "M. x")),
        ("Hamamelis 'Arnold / Promise'", None),
        ("Hamamelis mollis", None),
        ("on Hamamelis mollis", None),
        ("a / b / c", None),
    ],
)  # fmt: skip
def test_the_scion_is_named_first(text: str, pair: tuple[str, str] | None) -> None:
    assert split_pair(text) == pair


def test_a_column_of_combinations_is_split() -> None:
    frame = pd.DataFrame(
        {"tray": ["A", "B"], "grafted": [9, 9], "taken": [7, 8],
         "Combination": ["Hamamelis mollis on Hamamelis virginiana",
                         "Hamamelis mollis / Parrotia persica"]}
    )  # fmt: skip
    records = records_from_frame(frame)
    assert records.trays["understock"].tolist() == ["Hamamelis virginiana", "Parrotia persica"]
    assert records.trays["relation"].tolist() == ["same genus", "other genus"]
    assert len(records.changes) == 4
