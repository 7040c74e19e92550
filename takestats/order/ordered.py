"""Which past does each combination wanted rest on: its own, that of others like it, typed takes?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from takestats.errors import CountsError, UnknownLevelError
from takestats.models.lines import nearest
from takestats.order.asked import given_each, match_name, value_for
from takestats.order.ordered_rows import OTHERS, RECORDS, Ordered, order_by_past, order_by_typed
from takestats.order.past_seasons import PastSeasons, PastShare, of_others
from takestats.records.pairs import split_pair
from takestats.records.plants import plant_name, relation_of
from takestats.records.settings import TrialSettings
from takestats.records.targets import TypedTakes, pair_name
from takestats.wording.numbers import plain

_UNDETERMINED = "undetermined"
_NEARLY = 0.95
_SHOWN = 12


def ordered_of(
    wanted: Mapping[str, int],
    typed: Mapping[str, TypedTakes],
    past: PastSeasons | None,
    culls: Mapping[str, Any] | None,
    settings: TrialSettings,
    *,
    assurance: float,
    size: float,
) -> list[Ordered]:
    """Order every combination that is wanted, in the order of the targets.

    Parameters
    ----------
    wanted : mapping of str to int
    typed : mapping of str to TypedTakes
        Used before the records.
    past : PastSeasons or None
    culls : mapping or None
        Given to the function; None: those of the settings.
    settings : TrialSettings
    assurance : float
    size : float
        Cells of a tray; nan: not recorded, and then no trays are either.

    Raises
    ------
    UnknownLevelError, DesignError
    """
    plants = {} if past is None else past.plants
    meant = {name: match_name(name, plants) or name for name in wanted}
    _told_once(meant)
    culls = _culls(culls, {*meant.values(), *wanted}, settings)
    lower = {name.lower(): takes for name, takes in typed.items()}
    wanted_names = {n.lower() for n in (*meant, *meant.values())}
    strangers = [name for name in typed if name.lower() not in wanted_names]
    if strangers:
        raise UnknownLevelError(
            where="takes",
            what=f"{strangers[0]!r}",
            rule="takes are typed for combinations that are wanted",
            next_step=nearest(strangers[0], sorted(meant.values())),
        )
    cells = 1 if math.isnan(size) else int(size)
    rows = []
    for name, number in wanted.items():
        known = meant[name]
        cull = value_for(culls, known) if known in culls else value_for(culls, name)
        own = lower.get(known.lower(), lower.get(name.lower()))
        if own is not None:
            pair = plants.get(known) or _pair(known)
            rows.append(order_by_typed(known, pair, number, own, cull, assurance=assurance))
            continue
        if past is not None and known in plants:
            take, graded, sold = (
                past.takes[known],
                past.kept.get(known),
                past.sold.get(known),
            )
            rests_on = RECORDS
            pair = plants[known]
        else:
            take, graded, sold = _of_relation(name, past)
            pair, rests_on = _pair(name), OTHERS
        rows.append(
            order_by_past(
                known,
                pair,
                number,
                take,
                graded,
                sold,
                cull,
                assurance=assurance,
                tray_size=cells,
                rests_on=rests_on,
            )
        )
    return rows


def _told_once(meant: Mapping[str, str]) -> None:
    seen: dict[str, str] = {}
    for name, known in meant.items():
        if known in seen:
            raise UnknownLevelError(
                where="targets",
                what=f"{seen[known]!r} and {name!r}",
                rule="a combination is wanted once",
                next_step=f"both are {known}: write one number for it",
            )
        seen[known] = name


def _culls(
    culls: Mapping[str, Any] | None, known: set[str], settings: TrialSettings
) -> dict[str, Any]:
    given = (
        settings
        if culls is None
        else TrialSettings(work={"cull": dict(culls)}, names=settings.names)
    )
    where = "" if culls is None else "cull"
    found = given_each(given, "cull", known, "a combination", where=where)
    for name, value in found.items():
        if value >= 1.0:
            raise CountsError(
                where="cull",
                what=f"{name or 'all'} = {plain(value)}",
                rule="a cull is the share of the plants that took which are not saleable; under 1",
                next_step="write 0.1 for one plant in ten",
            )
    return found


def _pair(name: str) -> tuple[str, str]:
    return split_pair(name) or (name, "not recorded")


def _of_relation(
    name: str, past: PastSeasons | None
) -> tuple[PastShare, PastShare | None, PastShare | None]:
    """Take and saleable shares of a combination without a past.

    Raises
    ------
    UnknownLevelError
        When no two combinations of its relation are on record.
    """
    known = [] if past is None else sorted(past.plants)
    _not_misspelt(name, known)
    relation = _relation(name)
    if past is not None and relation != _UNDETERMINED and "relation" in past.lines:
        lines = past.lines
        alike = lines[lines["relation"].astype(str) == relation]
        others = [str(c) for c in alike["combination"].unique()]
        take = of_others(past, others, "take")
        if take is not None:
            return take, of_others(past, others, "kept"), of_others(past, others, "sold")
    shown = ", ".join(known[:_SHOWN]) + (", ..." if len(known) > _SHOWN else "")
    near = f"; on record: {shown}" if known else ""
    raise UnknownLevelError(
        where="targets",
        what=f"{name!r} has no past"
        + ("" if past is None else f", nor have two others of its relation ({relation})"),
        rule="grafts are ordered on past takes, of the combination or of two or more like it, or "
        "on three that are typed",
        next_step='type a poor, a usual and a good take: "500, poor 60%, usual 75%, good 85%" '
        f"under [targets], or takes=(0.60, 0.75, 0.85){near}",
    )


def _not_misspelt(name: str, known: list[str]) -> None:
    """Ask about a name that is a letter or two from one on record, rather than take it for new.

    Raises
    ------
    UnknownLevelError
    """
    lower = {one.lower(): one for one in known}
    near = get_close_matches(name.lower(), list(lower), n=1, cutoff=_NEARLY)
    if near:
        raise UnknownLevelError(
            where="targets",
            what=f"{name!r} has no past, but {lower[near[0]]!r} has",
            rule="a name that is nearly one on record is asked about, not taken for a new one",
            next_step="write it as it is on record; if it is another plant, type a poor, a usual "
            "and a good take beside its target",
        )


def _relation(name: str) -> str:
    pair = split_pair(pair_name(name, {}))
    if pair is None:
        return _UNDETERMINED
    try:
        return relation_of(plant_name(pair[0]), plant_name(pair[1]))
    except CountsError:
        return _UNDETERMINED
