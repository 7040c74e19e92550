"""What is written as TOML is read back the same: held against the standard library's reader."""

from __future__ import annotations

import datetime as dt
import math
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from takestats.pages.toml_text import toml_text

# Letters a file can hold: all but halves of letters.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
NUMBERS = st.integers(-(2**60), 2**60) | st.floats(allow_nan=False)
DATES = st.dates() | st.datetimes(timezones=st.none()) | st.times()
ONE = TEXT | NUMBERS | st.booleans() | DATES
INSIDE = st.recursive(
    ONE, lambda x: st.lists(x, max_size=3) | st.dictionaries(TEXT, x, max_size=3), max_leaves=6
)
SETTINGS = st.dictionaries(TEXT, ONE | st.dictionaries(TEXT, INSIDE, max_size=4), max_size=4)


@given(SETTINGS, st.lists(st.text(max_size=20), max_size=3))
def test_any_settings_come_back(settings: dict, comments: list[str]) -> None:
    text = toml_text(settings, comments)
    assert tomllib.loads(text) == settings
    assert tomllib.loads(text.encode("utf-8").decode("utf-8")) == settings


def test_the_same_settings_make_the_same_text_in_their_order() -> None:
    settings = {"trial": {"new": "b", "floor": 0.7}, "title": "A"}
    assert toml_text(settings, ["One\ntwo\x00."]) == (
        '# One two .\ntitle = "A"\n\n[trial]\nnew = "b"\nfloor = 0.7\n'
    )


@pytest.mark.parametrize(
    "name",
    [
        'Acer "x" = 1',
        "a\nb = 2",
        "[trial]",
        "back\\slash",
        "# no comment",
        "Hamamelis × intermedia 'Moth'",
        "\x7f\x00\x1b[31m",
        "\U0001f33f",
        '"""',
    ],
)
def test_a_hostile_name_stays_a_name(name: str) -> None:
    text = toml_text({"trial": {"new": name}, "names": {name: name}}, [name])
    assert tomllib.loads(text) == {"trial": {"new": name}, "names": {name: name}}
    assert text.splitlines()[0].startswith("# ")


def test_what_is_missing_is_left_out_and_odd_numbers_are_told() -> None:
    text = toml_text({"a": None, "b": {"c": None, "d": math.inf, "e": math.nan}})
    read = tomllib.loads(text)
    assert set(read) == {"b"}
    assert read["b"]["d"] == math.inf
    assert math.isnan(read["b"]["e"])
    assert tomllib.loads(toml_text({"x": "\ud800"}))["x"] == "\ufffd"


def test_dates_are_dates() -> None:
    when = {"work": {"window": [dt.date(2026, 1, 5), dt.date(2026, 3, 10)]}}
    assert tomllib.loads(toml_text(when)) == when


def test_what_toml_does_not_know_is_refused() -> None:
    with pytest.raises(TypeError, match="complex"):
        toml_text({"x": complex(1, 2)})
