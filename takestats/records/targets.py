"""How many plants of each combination do the settings want, and which trays are meant?

A target is a whole number of plants. Where a combination has no past, a poor, a usual and a good
take may stand beside it, in a table or as text::

    500, poor 60%, usual 75%, good 85%
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any, NamedTuple

from takestats.errors import SettingsError
from takestats.records.pairs import split_pair
from takestats.records.plant_cells import known_genera, name_key, read_plant
from takestats.records.settings import TrialSettings
from takestats.records.shares import typed_number
from takestats.wording.numbers import plain

_SEASONS = ("poor", "usual", "good")
_PARTS = re.compile(r";\s*|,\s+")


class TypedTakes(NamedTuple):
    """Takes of a poor, a usual and a good season, typed and so assumed; shares, rising."""

    poor: float
    usual: float
    good: float


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


def typed_takes_of(settings: TrialSettings) -> dict[str, TypedTakes]:
    """Takes that were typed beside the targets, short names written in full.

    Parameters
    ----------
    settings : TrialSettings

    Returns
    -------
    dict of str to TypedTakes
        Only combinations that have them.

    Raises
    ------
    SettingsError
        When one of the three is missing, is no share, or they do not rise.

    Examples
    --------
    >>> typed_takes_of(TrialSettings(targets={"Acer rubrum 'Ember' / Acer rubrum":
    ...     "500, poor 60%, usual 75%, good 85%"}))["Acer rubrum 'Ember' on Acer rubrum"].poor
    0.6
    """
    out: dict[str, TypedTakes] = {}
    for key, value in settings.targets.items():
        given = {name: v for name, v in _parts(str(key), value, settings.file).items() if name}
        if given:
            name = pair_name(str(key), settings.names)
            out[name] = typed_takes(f"targets.{key}", given, settings.file or "settings")
    return out


def typed_takes(what: str, given: Mapping[str, Any], where: str) -> TypedTakes:
    """Read a poor, a usual and a good take.

    Parameters
    ----------
    what : str
        What they are the takes of, for the error.
    given : mapping
        poor, usual, good: shares, or text with a percent sign.
    where : str

    Raises
    ------
    SettingsError
    """
    rule = "a poor, a usual and a good take stand together, shares of the grafts made, rising."
    shares = []
    for name in _SEASONS:
        number, unit = typed_number(given.get(name))
        share = number / 100.0 if unit == "percent" else number
        if name not in given or math.isnan(share) or unit == "points" or not 0.0 <= share <= 1.0:
            asked = f"Is it {plain(number)}%? Write it with the sign." if share > 1.0 else ""
            raise SettingsError(
                where=where,
                what=f"{what}: {name} take = {given.get(name, 'not given')!s}",
                rule=rule,
                next_step=asked or "Write poor 60%, usual 75%, good 85%.",
            )
        shares.append(share)
    takes = TypedTakes(*shares)
    if not takes.poor <= takes.usual <= takes.good:
        raise SettingsError(
            where=where,
            what=f"{what}: {', '.join(f'{n} {given[n]!s}' for n in _SEASONS)}",
            rule=rule,
            next_step="Put them in order: the poor take first.",
        )
    return takes


def _parts(key: str, value: Any, file: str) -> dict[str, Any]:
    """Plants under the blank name, typed takes under theirs."""
    if isinstance(value, Mapping):
        given = {str(k).strip().lower(): v for k, v in value.items()}
        given[""] = given.pop("plants", None)
    elif isinstance(value, str):
        given = {}
        for part in (part.strip() for part in _PARTS.split(value) if part.strip()):
            word, _, rest = part.partition(" ")
            named = word.lower().isalpha() and bool(rest.strip())
            given[word.lower() if named else ""] = rest.strip() if named else part
    else:
        given = {"": value}
    for name in given:
        if name and name not in _SEASONS:
            near = get_close_matches(name, ("plants", *_SEASONS), n=1, cutoff=0.5)
            raise SettingsError(
                where=file or "settings",
                what=f"targets.{key} = {value!r}: {name!r}",
                rule="A target has plants, and may have a poor, a usual and a good take.",
                next_step=f'Is it "{near[0]}"?'
                if near
                else "Write it like 500, poor 60%, usual 75%, good 85%.",
            )
    return given


def _plants(key: str, value: Any, file: str) -> float:
    given = _parts(key, value, file).get("")
    text = str(given).strip().lower().removesuffix("plants").strip().replace(",", "")
    if isinstance(given, bool) or not text.removesuffix(".0").isdecimal():
        raise SettingsError(
            where=file or "settings",
            what=f"targets.{key} = {value!r}",
            rule="A target is a whole number of plants wanted.",
            next_step="Write it like 200.",
        )
    return float(text)
