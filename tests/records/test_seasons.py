from __future__ import annotations

import pytest

from takestats.records.seasons import read_season, season_name, season_of_graft, season_year


@pytest.mark.parametrize(
    ("text", "season"),
    [("2026", "2026"), ("2025-26", "2025-26"), ("2025/26", "2025-26"), ("2025/2026", "2025-26"),
     ("1999-00", "1999-00"), ("2025–26", "2025-26")],
)  # fmt: skip
def test_forms_of_a_season(text: str, season: str) -> None:
    assert read_season(text) == season


@pytest.mark.parametrize("text", ["2025-27", "26", "winter", "2025-2", "", "2025-25"])
def test_what_is_no_season(text: str) -> None:
    assert read_season(text) is None


def test_a_season_is_the_year_of_its_settled_count() -> None:
    assert season_year("2026") == season_year("2025-26") == 2026
    assert season_name(2026) == "2025-26"
    assert season_name(2000) == "1999-00"


def test_a_graft_made_from_july_belongs_to_the_next_year() -> None:
    # common practice, no source
    assert season_of_graft("2025-08") == "2025-26"
    assert season_of_graft("2026-01-05") == "2025-26"
    assert season_of_graft("2026-06-30") == "2025-26"
