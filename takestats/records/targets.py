"""How many plants of each combination do the settings want, and which trays are meant?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from takestats.errors import SettingsError
from takestats.records.pairs import split_pair
from takestats.records.plant_cells import known_genera, name_key, read_plant
from takestats.records.settings import TrialSettings


def targets_of(settings: TrialSettings) -> dict[str, float]:
    """Plants wanted of each combination, short names written in full.

    Parameters
    ----------
    settings : TrialSettings

    Returns
    -------
    dict of str to float
        In the order of the settings; a name without an understock stands for its scion.

    Raises
    ------
    SettingsError
        When a target is not a whole number of plants.

    Examples
    --------
    >>> targets_of(TrialSettings(targets={"Acer rubrum 'Ember' / Acer rubrum": "1,200 plants"}))
    {"Acer rubrum 'Ember' on Acer rubrum": 1200.0}
    """
    out: dict[str, float] = {}
    for key, value in settings.targets.items():
        name = pair_name(str(key), settings.names)
        out[name] = out.get(name, 0.0) + _plants(str(key), value, settings.file)
    return out


def pair_name(typed: str, names: Mapping[str, str]) -> str:
    """A combination, or one plant, as the records name it.

    Parameters
    ----------
    typed : str
        As in the settings: short names, "on" or a slash between scion and understock.
    names : mapping of str to str
        Short names to full ones.

    Examples
    --------
    >>> pair_name("moth on virginiana", {"virginiana": "Hamamelis virginiana",
    ...                                  "moth": "Hamamelis x intermedia 'Moth'"})
    "Hamamelis × intermedia 'Moth' on Hamamelis virginiana"
    """
    pair = split_pair(typed)
    return " on ".join(_full(side, names) for side in (pair or (typed,)))


def is_meant(combination: str, scion: str, target: str) -> bool:
    """Whether trays of this combination count towards a target.

    A target without an understock stands for its scion on any understock.

    Examples
    --------
    >>> is_meant("Acer rubrum 'Ember' on Acer rubrum", "Acer rubrum 'Ember'", "acer rubrum 'ember'")
    True
    """
    return target.lower() in (combination.lower(), scion.lower())


def _full(name: str, names: Mapping[str, str]) -> str:
    keys = {name_key(short): full for short, full in names.items()}
    read = read_plant(name, keys, list(names), known_genera([], names))
    return str(read.value) if read.value is not None else name


def _plants(key: str, value: Any, file: str) -> float:
    given = value.get("plants") if isinstance(value, Mapping) else value
    text = str(given).strip().lower().removesuffix("plants").strip().replace(",", "")
    if isinstance(given, bool) or not text.removesuffix(".0").isdecimal():
        raise SettingsError(
            where=file or "settings",
            what=f"targets.{key} = {value!r}",
            rule="A target is a whole number of plants wanted.",
            next_step="Write it like 200.",
        )
    return float(text)
