from __future__ import annotations

import pytest

from takestats.errors import SettingsError
from takestats.records.each_of import EachFault, each_of
from takestats.records.settings import read_trial, trial_of_sheet


@pytest.mark.parametrize(
    ("value", "kind", "found"),
    [
        (0.8, "shares", {"": 0.8}),
        ("80%", "shares", {"": 0.8}),
        ("80 %", "shares", {"": 0.8}),
        ("0,8", "shares", {"": 0.8}),
        ({"virginiana": "80%", "hornbeam": 0.7}, "shares", {"virginiana": 0.8, "hornbeam": 0.7}),
        ("witch hazel 80 %; hornbeam = 0.7", "shares", {"witch hazel": 0.8, "hornbeam": 0.7}),
        ("moth on virginiana: 10%", "shares", {"moth on virginiana": 0.1}),
        (150, "wholes", {"": 150}),
        ("moth 150, wren 500", "wholes", {"moth": 150, "wren": 500}),
        (0, "wholes", {"": 0}),
        (2.5, "numbers", {"": 2.5}),
        ("thin low, stout High", "unions", {"thin": "low", "stout": "high"}),
    ],
)
def test_one_value_or_one_for_each(value: object, kind: str, found: dict[str, object]) -> None:
    assert each_of("key", value, kind) == found  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "kind", "said"),
    [
        (85, "shares", '"85%"'),
        (-0.1, "shares", "is a share"),
        ("most", "shares", "is a share"),
        ("moth many", "wholes", "whole number"),
        (2.5, "wholes", "whole number"),
        (0, "numbers", "above 0"),
        (True, "numbers", "above 0"),
        ("low", "unions", "low or high"),
        ("thin middle", "unions", "low or high"),
        ({}, "shares", "is a share"),
        ("moth 4, moth 5", "numbers", "once"),
    ],
)
def test_what_cannot_be_used(value: object, kind: str, said: str) -> None:
    with pytest.raises(EachFault) as refused:
        each_of("key", value, kind)  # type: ignore[arg-type]
    assert said in refused.value.rule + refused.value.next_step


def test_settings_and_sheet_say_the_same() -> None:
    table = read_trial({"work": {"usable_share": {"virginiana": 0.8}, "terminal_pieces": 40}}).work
    sheet = trial_of_sheet(
        [["work.usable_share", "virginiana 80%"], ["terminal pieces", 40]], "sheet trial"
    ).work
    assert table == sheet == {"usable_share": {"virginiana": 0.8}, "terminal_pieces": {"": 40}}


def test_faults_of_settings_are_told_with_their_place() -> None:
    with pytest.raises(SettingsError) as refused:
        read_trial({"work": {"usable_share": 85, "usable_shar": 0.8}})
    assert "work.usable_share = 85" in refused.value.what
    assert 'Is it "usable_share"?' in refused.value.next_step
