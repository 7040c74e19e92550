"""Is each answer read as it was meant, and refused in four parts when it cannot be used?"""

from __future__ import annotations

import pytest

from takestats.errors import SettingsError
from takestats.pages.workbook_answers import (
    DEFAULTS,
    called_for,
    default_of,
    is_asked,
    questions,
    read_answer,
)
from takestats.wording.start import ASKS, MEANINGS


@pytest.mark.parametrize(
    ("key", "typed", "read"),
    [
        ("compare", "Wood, METHOD , caliper", ("scion_wood", "method", "understock_caliper_mm")),
        ("compare", "plants, union height", ("combination", "union_height_mm")),
        ("record", "", ()),
        ("record", " - ", ()),
        ("methods", "-", ()),
        ("methods", "SV, top cleft, SV", ("side veneer", "cleft")),
        ("methods", "our own graft", ("our own graft",)),
        ("plants", "a on b = 1,200 plants; c on d", ("a on b = 1200", "c on d")),
        ("classes", "thin = 6 to 8 mm", ("thin = 6 to 8 mm",)),
        ("names", "ember = Hamamelis mollis 'Ember'", ("ember = Hamamelis mollis 'Ember'",)),
        ("randomised", "Trays", ("tray",)),
        ("caliper_unit", "inches", ("in",)),
        ("later", "Y", ("yes",)),
        ("later", "", ("no",)),
        ("tray_size", "30", ("30",)),
        ("tray_size", "", ()),
        ("title", "  Cleft   or  veneer ", ("Cleft or veneer",)),
    ],
)
def test_answers_are_read(key: str, typed: str, read: tuple[str, ...]) -> None:
    assert read_answer(key, typed, {}) == read


@pytest.mark.parametrize(
    ("key", "typed", "told"),
    [
        (
            "compare",
            "methud",
            '--compare: "methud"\n'
            "  Rule: It must be something that is written down for a tray.\n"
            '  Next: Is it "method"?',
        ),
        (
            "methods",
            "cleft, whip",
            '--methods: "whip"\n'
            "  Rule: This word means different grafts in different nurseries.\n"
            "  Next: Write one of: splice or whip-and-tongue.",
        ),
        (
            "methods",
            "saddel",
            '--methods: "saddel"\n  Rule: This graft is not known.\n  Next: Is it "saddle"?',
        ),
        (
            "plants",
            "a on b = many",
            '--plants: "a on b = many"\n'
            "  Rule: Plants wanted are a whole number.\n"
            "  Next: Type it like copper moth on virginiana = 200.",
        ),
        (
            "classes",
            "thin = slim",
            '--classes: "thin = slim"\n'
            "  Rule: A caliper class lies between two calipers.\n"
            "  Next: Type it like thin = 6 to 8 mm.",
        ),
        (
            "names",
            "ember",
            '--names: "ember"\n'
            "  Rule: A name and its meaning are parted by =.\n"
            "  Next: Type short = Genus species 'Cultivar'.",
        ),
        (
            "randomised",
            "maybe",
            '--randomised: "maybe"\n'
            "  Rule: It is one of: tray, half, graft or no.\n"
            "  Next: Write one of these.",
        ),
        (
            "tray_size",
            "30 cells",
            '--tray-size: "30 cells"\n'
            "  Rule: A tray holds a whole number of grafts.\n"
            "  Next: Type it like 30.",
        ),
        ("later", "perhaps", '--later: "perhaps"\n  Rule: It is yes or no.\n  Next: Write one of'),
        (
            "standard",
            "saddle",
            '--standard: "saddle"\n'
            "  Rule: The standard is one of the grafts you make: cleft and side veneer.\n"
            "  Next: Write one of these.",
        ),
    ],
)
def test_what_cannot_be_used_is_told_in_four_parts(key: str, typed: str, told: str) -> None:
    with pytest.raises(SettingsError) as stopped:
        read_answer(key, typed, {})
    assert stopped.value.told().startswith(told)


def test_once_a_short_name_is_explained_all_are() -> None:
    plants = {"plants": "ember on virginiana = 10"}
    with pytest.raises(SettingsError, match='--names: "virginiana"'):
        read_answer("names", "ember = Hamamelis mollis 'Ember'", plants)
    both = "ember = Hamamelis mollis 'Ember'; Virginiana = Hamamelis virginiana"
    assert len(read_answer("names", both, plants)) == 2


def test_every_question_has_its_words_and_every_default_can_be_used() -> None:
    assert set(ASKS) == set(MEANINGS) == set(DEFAULTS)
    for season_only in (False, True):
        answers: dict[str, str] = {}
        for key in questions(season_only=season_only):
            default = default_of(key, answers, season_only=season_only)
            read_answer(key, default, answers)
            answers[key] = default


def test_about_ten_questions_are_asked() -> None:
    for season_only, most in ((False, 11), (True, 7)):
        answers: dict[str, str] = {}
        asked = 0
        for key in questions(season_only=season_only):
            if is_asked(key, answers, season_only=season_only):
                asked += 1
                answers[key] = default_of(key, answers, season_only=season_only)
        assert 6 <= asked <= most


def test_a_question_is_left_out_when_its_answer_cannot_matter() -> None:
    def asked(key: str, **answers: str) -> bool:
        return is_asked(key, answers, season_only=False)

    assert not asked("methods", compare="scion wood")
    assert asked("methods", compare="scion wood", record="method")
    assert asked("caliper_unit", record="caliper")
    assert not asked("caliper_unit", record="caliper class")
    assert asked("classes", record="caliper class")
    assert not asked("names", plants="Hamamelis mollis 'Ember' on Hamamelis virginiana")
    assert asked("names", plants="ember on virginiana")


def test_answers_call_for_columns() -> None:
    found = called_for(
        {"compare": "method", "record": "grafter", "later": "yes"}, season_only=False
    )
    assert found == (
        "method",
        "grafter",
        "alive_later",
        "later_count_date",
        "saleable",
        "saleable_date",
    )
    assert "method" not in called_for({"record": "block"}, season_only=True)
