from __future__ import annotations

import pytest

from takestats.errors import SettingsError
from takestats.records.settings import TrialSettings
from takestats.records.targets import TypedTakes, targets_of, typed_takes_of

PAIR = "Acer rubrum 'Ember' on Acer rubrum"


@pytest.mark.parametrize(
    "value",
    [
        "500, poor 60%, usual 75%, good 85%",
        "500 plants; poor 0.6; usual 0.75; good 0.85",
        {"plants": 500, "poor": 0.6, "usual": "75%", "good": 0.85},
    ],
)
def test_plants_and_takes_beside_them(value: object) -> None:
    settings = TrialSettings(targets={PAIR: value})
    assert targets_of(settings) == {PAIR: 500.0}
    assert typed_takes_of(settings) == {PAIR: TypedTakes(0.6, 0.75, 0.85)}


@pytest.mark.parametrize("value", [500, "500", "1,200 plants", {"plants": 80}])
def test_plants_alone_have_no_takes(value: object) -> None:
    settings = TrialSettings(targets={PAIR: value})
    assert targets_of(settings)[PAIR] > 0
    assert typed_takes_of(settings) == {}


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ({"plants": 80, "poor": 0.6}, "usual"),
        ("80, poor 60, usual 75, good 85", "60%"),
        ("80, poor 85%, usual 75%, good 60%", "in order"),
        ("80, por 60%, usual 75%, good 85%", '"poor"'),
        ({"plants": 80, "poor": 0.6, "usual": 0.7, "good": 7}, "7%"),
    ],
)
def test_takes_that_cannot_be_used(value: object, said: str) -> None:
    settings = TrialSettings(targets={PAIR: value})
    with pytest.raises(SettingsError) as refused:
        typed_takes_of(settings)
    assert said in refused.value.told()
