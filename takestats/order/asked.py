"""What is wanted, with how much certainty, and is every name and number of it understood?"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

from takestats.errors import CountsError, SettingsError, UnknownLevelError
from takestats.models.lines import nearest
from takestats.order.plants_to_come import MOST_GRAFTS
from takestats.records.each_of import EVERY, EachFault, Kind, each_of
from takestats.records.settings import TrialSettings
from takestats.records.targets import (
    TypedTakes,
    is_meant,
    pair_name,
    targets_of,
    typed_takes,
    typed_takes_of,
)
from takestats.wording.numbers import plain

LEAST_ASSURANCE, MOST_ASSURANCE = 0.5, 0.999


def check_assurance(assurance: Any) -> float:
    """Refuse a chance that no order is placed with.

    Raises
    ------
    CountsError
    """
    number = isinstance(assurance, int | float) and not isinstance(assurance, bool)
    if number and LEAST_ASSURANCE <= assurance <= MOST_ASSURANCE:
        return float(assurance)
    percent = number and LEAST_ASSURANCE * 100 <= assurance < 100
    raise CountsError(
        where="assurance",
        what=f"{assurance!r}",
        rule=f"the chance that the order is met, from {LEAST_ASSURANCE} to {MOST_ASSURANCE}",
        next_step=f"write {plain(assurance / 100)} for {plain(assurance)} %"
        if percent
        else "write 0.9 for nine seasons in ten",
    )


def check_tray_size(size: Any) -> int:
    """Refuse a tray that holds no grafts.

    Raises
    ------
    CountsError
    """
    if isinstance(size, bool) or not isinstance(size, int | float) or size < 1 or size % 1:
        raise CountsError(
            where="tray_size",
            what=f"{size!r}",
            rule="a whole number of cells, one or more",
            next_step="write how many grafts a tray holds, as 30",
        )
    return int(size)


def wanted_of(
    targets: Mapping[str, Any] | None, settings: TrialSettings
) -> tuple[dict[str, int], dict[str, TypedTakes]]:
    """Plants wanted of each combination, and the takes typed beside them; names in full.

    Parameters
    ----------
    targets : mapping or None
        None: those of the settings.
    settings : TrialSettings

    Raises
    ------
    CountsError, SettingsError
        None at all; or one that is no whole number of plants, 0, or above a million.
    """
    given = settings if targets is None else _with_targets(targets, settings)
    try:
        found = targets_of(given)
        typed = typed_takes_of(given)
    except SettingsError as fault:
        if targets is None:
            raise
        raise CountsError(
            where="targets",
            what=fault.what.removeprefix("targets."),
            rule=fault.rule,
            next_step=fault.next_step,
        ) from fault
    where = "targets" if targets is not None else f"{settings.file or 'settings'}, [targets]"
    if not found:
        raise CountsError(
            where=where,
            what="none",
            rule="an order starts from how many saleable plants of each combination are wanted",
            next_step='write them under [targets], as "moth on virginiana" = 200',
        )
    for name, plants in found.items():
        if not 1 <= plants <= MOST_GRAFTS:
            raise CountsError(
                where=where,
                what=f"{name} = {int(plants)}",
                rule=f"plants wanted are a whole number from 1 to {MOST_GRAFTS:,}",
                next_step="leave out what is not wanted" if plants < 1 else "check the number",
            )
    return {name: int(plants) for name, plants in found.items()}, typed


def _with_targets(targets: Mapping[str, Any], settings: TrialSettings) -> TrialSettings:
    given = {
        str(k): v.item() if hasattr(v, "item") and not isinstance(v, str) else v
        for k, v in targets.items()
    }
    return TrialSettings(targets=given, names=settings.names)


def typed_of(takes: Mapping[str, Any], settings: TrialSettings) -> dict[str, TypedTakes]:
    """Takes given to the function: three numbers, or poor, usual and good by name.

    Raises
    ------
    SettingsError
        When they are no three rising shares.
    """
    found = {}
    for key, value in takes.items():
        if isinstance(value, Mapping):
            given = {str(k).strip().lower(): v for k, v in value.items()}
        else:
            three = list(value) if isinstance(value, list | tuple) else [value]
            given = dict(zip(("poor", "usual", "good"), three, strict=False))
            if len(three) != 3:
                given.pop("good", None)
        found[pair_name(str(key), settings.names)] = typed_takes(str(key), given, "takes")
    return found


def match_name(name: str, plants: Mapping[str, tuple[str, str]]) -> str | None:
    """The combination on record that a target means; None when it has no past.

    Parameters
    ----------
    name : str
    plants : mapping of str to (scion, understock)

    Raises
    ------
    UnknownLevelError
        When a scion alone is named that stands on several understocks.
    """
    meant = [c for c, (scion, _) in plants.items() if is_meant(c, scion, name)]
    if len(meant) > 1:
        raise UnknownLevelError(
            where="targets",
            what=f"{name!r} stands on {len(meant)} understocks",
            rule="plants are wanted of one combination: a scion on an understock",
            next_step=f"write one of these: {', '.join(sorted(meant))}",
        )
    return meant[0] if meant else None


def given_each(
    settings: TrialSettings, key: str, known: Collection[str], what: str, *, where: str = ""
) -> dict[str, Any]:
    """A setting of the work that is one value for all or one for each name, names in full.

    Parameters
    ----------
    settings : TrialSettings
    key : str
    known : collection of str
        The names that it may be given for, in full.
    what : str
        What these are, in a word or two.
    where : str
        Where it was given, when not in the settings.

    Raises
    ------
    UnknownLevelError
        For a name that is none of them, with the nearest.
    """
    lower = {name.lower(): name for name in known}
    found: dict[str, Any] = {}
    for typed, value in settings.work.get(key, {}).items():
        if typed == EVERY:
            found[EVERY] = value
            continue
        name = pair_name(typed, settings.names)
        if name.lower() not in lower:
            raise UnknownLevelError(
                where=where or f"{settings.file or 'settings'}, work.{key}",
                what=f"{typed!r}",
                rule=f"{key} is given for all, or for {what} of the records or targets",
                next_step=nearest(name, sorted(known)),
            )
        found[lower[name.lower()]] = value
    return found


def checked_each(key: str, value: Any, kind: Kind) -> dict[str, Any]:
    """A value given to the function, read as the setting of the same name is.

    Raises
    ------
    CountsError
    """
    try:
        return each_of(key, value, kind)
    except EachFault as fault:
        raise CountsError(
            where=key, what=f"{value!r}", rule=fault.rule, next_step=fault.next_step
        ) from fault


def value_for(each: Mapping[str, Any], name: str) -> float:
    """The value of a name, else that for all, else nan."""
    found = each.get(name, each.get(EVERY))
    return math.nan if found is None else float(found)
