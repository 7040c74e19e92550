from __future__ import annotations

from pathlib import Path

import pytest

from takestats.errors import FileError, SettingsError
from takestats.records.known_settings import SETTINGS
from takestats.records.settings import read_trial, trial_of_sheet

TOML = """
title = "Cleft or veneer"
invented = true
seed = 7
truth = "truth.csv"
[trial]
question = "Does side veneer take better?"
margin_points = 5
floor = "80%"
randomised = "tray"
[records]
date_order = "D/M/Y"
trays = "none"
fill_down = ["season", "method"]
[names]
jelena = "Hamamelis x intermedia 'Jelena'"
[methods]
whip = "splice"
[classes]
thin = "6 to 8 mm"
[compare]
factors = ["method", "scion_wood"]
[targets]
"Hamamelis 'Jelena' on Hamamelis virginiana" = 500
[work]
grafts_a_day = 120
"""


def test_a_file_of_settings(tmp_path: Path) -> None:
    path = tmp_path / "trial.toml"
    path.write_text(TOML, encoding="utf-8")
    trial = read_trial(path)
    assert (trial.title, trial.invented, trial.seed, trial.truth) == (
        "Cleft or veneer", True, 7, "truth.csv",
    )  # fmt: skip
    assert trial.trial["floor"] == 0.8
    assert trial.records == {
        "date_order": "day first", "trays": "none", "fill_down": ["season", "method"],
    }  # fmt: skip
    assert trial.names["jelena"].startswith("Hamamelis")
    assert trial.methods == {"whip": "splice"}
    assert trial.compare["factors"] == ["method", "scion_wood"]
    assert list(trial.targets.values()) == [500]
    assert trial.file == "trial.toml"


def test_a_dict_may_leave_the_section_out() -> None:
    assert read_trial({"trays": "none"}).records == {"trays": "none"}
    assert read_trial({"records.trays": "None"}).records == {"trays": "none"}
    assert read_trial({"records": {"trays": False}}).records == {"trays": "none"}
    assert read_trial({"names.jelena": "Hamamelis 'Jelena'"}).names == {
        "jelena": "Hamamelis 'Jelena'"
    }


def test_a_sheet_of_two_columns_says_the_same() -> None:
    rows = [["what", "value"], ["title", "T"], ["trays", "none"], [None, None],
            ["methods.whip", "splice"], ["seed", "3"]]  # fmt: skip
    trial = trial_of_sheet(rows, "book.xlsx, sheet trial")
    assert (trial.title, trial.seed) == ("T", 3)
    assert trial.records == {"trays": "none"}
    assert trial.methods == {"whip": "splice"}


def test_a_setting_that_stands_twice_is_a_fault() -> None:
    with pytest.raises(SettingsError, match="seed"):
        trial_of_sheet([["seed", "3"], ["title", "T"], ["seed", "4"]], "book.xlsx")


def test_unknown_keys_are_told_at_once_with_the_nearest_known_one() -> None:
    with pytest.raises(SettingsError) as refused:
        read_trial({"titel": "x", "records": {"date_ordr": "day first"}, "zzz": 1})
    fault = refused.value
    assert fault.what == "titel; records.date_ordr; zzz"
    assert 'Is it "title"?' in fault.next_step
    assert 'Is it "date_order"?' in fault.next_step


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"floor": 90}, '"90%"'),
        ({"floor": "90"}, '"90%"'),
        ({"out_of": "all"}, "made, live_understock"),
        ({"date_order": "iso"}, "day first, month first"),
        ({"invented": "perhaps"}, "true or false"),
        ({"trays_each": 2.5}, "whole number"),
        ({"margin_points": "some"}, "number"),
        ({"margin_points": -1}, "below zero"),
        ({"factors": 3}, "list of column names"),
        ({"title": ["a"]}, "is a text"),
    ],
)
def test_a_value_that_cannot_be_used(given: dict[str, object], said: str) -> None:
    with pytest.raises(SettingsError) as refused:
        read_trial(given)
    assert said in refused.value.told()


def test_a_share_may_be_a_percent() -> None:
    assert read_trial({"floor": "90%"}).trial["floor"] == 0.9
    assert read_trial({"floor": 0.9}).trial["floor"] == 0.9
    assert read_trial({"margin_points": "10 points"}).trial["margin_points"] == 10


def test_a_missing_or_broken_file(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="no such file"):
        read_trial(tmp_path / "none.toml")
    path = tmp_path / "t.toml"
    path.write_text("title = unquoted", encoding="utf-8")
    with pytest.raises(FileError, match=r"t\.toml"):
        read_trial(path)


def test_every_setting_has_its_meaning() -> None:
    assert all(setting.meaning for setting in SETTINGS)
