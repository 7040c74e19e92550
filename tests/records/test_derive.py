from __future__ import annotations

import pandas as pd
import pytest

from takestats.records.classes import class_bounds
from takestats.records.derive import derive_columns, tray_ids


def test_the_bounds_of_a_class_in_any_unit() -> None:
    given = {"thin": "6 to 8 mm", "stout": [8, 10], "fat": '3/8 in to 1/2 in', "odd": "about 7",
             "match_within": 0.2}  # fmt: skip
    assert class_bounds(given) == {"thin": (6.0, 8.0), "stout": (8.0, 10.0), "fat": (9.525, 12.7)}


@pytest.mark.parametrize(
    ("scion", "stock", "match"),
    [(9.0, 9.5, "matched"), (6.0, 9.0, "scion thinner"), (11.0, 9.0, "scion thicker"),
     (9.9, 9.0, "matched")],
)  # fmt: skip
def test_a_match_within_a_tenth(scion: float, stock: float, match: str) -> None:
    # a tenth: common practice, no source
    lines = pd.DataFrame(
        {"season": ["2026"], "scion_caliper_mm": [scion], "understock_caliper_mm": [stock]}
    )
    assert derive_columns(lines, {})["caliper_match"].tolist() == [match]


def test_the_growers_word_stands_above_the_derived_one() -> None:
    lines = pd.DataFrame(
        {"season": ["2026"], "scion": ["Hamamelis mollis"], "understock": ["Hamamelis mollis"],
         "relation": ["other family"], "scion_caliper_mm": [6.0], "understock_caliper_mm": [9.0],
         "caliper_match": ["matched"]}
    )  # fmt: skip
    out = derive_columns(lines, {})
    assert out["relation"].tolist() == ["other family"]
    assert out["caliper_match"].tolist() == ["matched"]


def test_the_species_of_the_scion_leaves_its_cultivar_off() -> None:
    scions = ["Hamamelis x intermedia 'Copper Moth'", "Carpinus betulus", "Hamamelis 'Last Lamp'",
              "Acer palmatum var. dissectum 'Rake'", "moth", None]  # fmt: skip
    lines = pd.DataFrame({"season": "2026", "scion": scions})
    species = ["Hamamelis × intermedia", "Carpinus betulus", "Hamamelis sp.", "Acer palmatum"]
    found = derive_columns(lines, {})["scion_species"]
    assert found.dropna().tolist() == species
    assert found.isna().tolist() == [False] * 4 + [True] * 2
    assert "scion_species" not in derive_columns(lines.drop(columns="scion"), {})


def test_days_count_from_the_first_graft_of_each_season() -> None:
    lines = pd.DataFrame(
        {"season": ["a", "a", "b"], "graft_date": ["2026-01-05", "2026-01-15", "2027-02-01"],
         "bud_break_date": ["2026-03-01", None, "2027-03"]}
    )  # fmt: skip
    out = derive_columns(lines, {})
    assert out["day_of_season"].tolist() == [0.0, 10.0, 0.0]
    assert out["days_to_bud_break"].tolist()[0] == 55.0
    assert out["days_to_bud_break"].isna().tolist() == [False, True, True]


def test_lines_without_trays_are_numbered() -> None:
    assert tray_ids(pd.DataFrame({"season": ["a", "a"]}), trays_recorded=False) == [
        "line 1",
        "line 2",
    ]
