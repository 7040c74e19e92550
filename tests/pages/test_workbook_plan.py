"""Do the answers become the columns, the settings and the lists they call for?"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.errors import SettingsError
from takestats.pages.workbook_answers import DEFAULTS
from takestats.pages.workbook_plan import first_book
from takestats.records.known_settings import BY_PLACE
from takestats.records.settings import read_trial
from takestats.records.workbook_layout import ALWAYS

PLANTS = "copper moth on virginiana = 200; grey sentry on hornbeam"
NAMES = (
    "copper moth = Hamamelis x intermedia 'Copper Moth'; virginiana = Hamamelis virginiana; "
    "grey sentry = Carpinus betulus 'Grey Sentry'; hornbeam = Carpinus betulus"
)


def filled(book: object) -> dict[str, str]:
    return {key: value for key, value in book.settings if value}  # type: ignore[attr-defined]


def test_all_defaults() -> None:
    book = first_book({})
    assert book.layout.columns == tuple(sorted({*ALWAYS, "method"}, key=book.layout.columns.index))
    assert filled(book) == {
        "title": "Graft trial",
        "trial.standard": "cleft",
        "trial.new": "side veneer",
        "trial.randomised": "no",
        "compare.factors": "method",
    }
    assert book.words == {"method": ("cleft", "side veneer")}
    assert book.tray_size is None


def test_everything_answered_becomes_settings_that_can_be_read() -> None:
    book = first_book(
        {
            "title": "Cleft or veneer",
            "question": "Which one?",
            "compare": "method, caliper, graft date, union height",
            "methods": "cleft, our own graft",
            "standard": "our own graft",
            "randomised": "tray",
            "record": "caliper class, block",
            "plants": PLANTS,
            "names": NAMES,
            "tray_size": "30",
            "caliper_unit": "in",
            "classes": "thin = 1/4 in to 5/16 in",
        }
    )
    trial = read_trial(filled(book))
    assert trial.title == "Cleft or veneer"
    assert trial.trial == {
        "question": "Which one?",
        "standard": "our own graft",
        "new": "cleft",
        "randomised": "tray",
    }
    assert trial.compare == {
        "factors": ["method", "union_height_mm"],
        "curves": ["understock_caliper_mm", "day_of_season"],
    }
    assert trial.records == {"caliper_unit": "in"}
    assert trial.methods == {"our own graft": "our own graft"}
    assert trial.names["copper moth"] == "Hamamelis x intermedia 'Copper Moth'"
    assert trial.targets == {"copper moth on virginiana": "200"}
    assert trial.bench == {"tray_size": 30}
    assert "understock caliper (in)" in book.layout.headings
    assert book.words["scion"] == ("copper moth", "grey sentry")
    assert book.words["understock"] == ("virginiana", "hornbeam")
    assert book.words["caliper_class"] == ("thin",)


def test_the_season_has_no_trial_question() -> None:
    book = first_book({"record": "method, grafter"}, season_only=True)
    assert not [key for key, _ in book.settings if key.startswith(("trial.", "compare."))]
    assert {"method", "grafter"} <= set(book.layout.columns)
    assert "scion_wood" not in book.layout.columns


def test_new_is_named_only_where_one_is_left() -> None:
    three = first_book({"methods": "cleft, saddle, splice"})
    assert "trial.new" not in filled(three)
    assert filled(first_book({"compare": "scion wood"})).get("trial.new") is None


def test_every_key_of_the_trial_sheet_is_a_known_setting() -> None:
    for season_only in (False, True):
        for key, _ in first_book({}, season_only=season_only).settings:
            section, _, name = key.rpartition(".")
            assert (section, name) in BY_PLACE


@given(key=st.sampled_from(sorted(DEFAULTS)), typed=st.text(max_size=30))
def test_any_text_is_used_or_refused_in_four_parts(key: str, typed: str) -> None:
    told: list[str] = []
    try:
        read_trial(filled(first_book({key: typed})))
    except SettingsError as fault:
        told = [fault.where, fault.what, fault.rule, fault.next_step]
    assert all(told)


def test_signs_that_no_sheet_can_hold_are_refused() -> None:
    with pytest.raises(SettingsError, match="cannot be typed into a sheet"):
        first_book({"title": "bell\x07"})


def test_an_answer_that_cannot_be_used_stops_the_plan() -> None:
    with pytest.raises(SettingsError, match="--tray-size"):
        first_book({"tray_size": "many"})
