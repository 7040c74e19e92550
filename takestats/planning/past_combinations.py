"""What do past seasons say of combinations like the new one?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pandas import DataFrame

from takestats.answers.expected_take import expected_take
from takestats.answers.season_lines import of_relation, season_lines
from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.grid_pairs import Distribution
from takestats.models.grouped_seasons import fit_new_kind
from takestats.models.line_arrays import LineArrays
from takestats.planning.past import PastTrays, past_trays
from takestats.records.plants import PlantName, plant_name, relation_of
from takestats.records.result import Records

ENOUGH = 3


@dataclass(frozen=True, eq=False, kw_only=True)
class Standard:
    """The combination that the new one is held against.

    Parameters
    ----------
    name : str
    why : {"settings", "same understock", "same relation", "most trays"}
    take, low, high : float
        Of a season not yet seen, and its 90 % limits.
    seasons, trays : int
    grafts : float
    """

    name: str
    why: str
    take: float
    low: float
    high: float
    seasons: int
    trays: int
    grafts: float


@dataclass(frozen=True, eq=False, kw_only=True)
class PastCombinations:
    """What the past says of a new combination.

    Parameters
    ----------
    trays : PastTrays or None
        How much trays differed; None where no trays were recorded.
    standard : Standard
    combinations : tuple of str
        Those of the relation.
    seasons : int
        Of these.
    tray_count, graft_count : float
        Behind these.
    new : Distribution or None
        Take of a new one of the relation in a season not yet seen; None under two.
    tried : DataFrame
        Lines of the very combination, when it was grafted before: taken, tried.
    """

    trays: PastTrays | None
    standard: Standard
    combinations: tuple[str, ...]
    seasons: int
    tray_count: int
    graft_count: float
    new: Distribution | None
    tried: DataFrame


def named_plant(text: str, past: Records | None, where: str) -> PlantName:
    """Read a plant's name, or the nursery's own short name of it.

    Raises
    ------
    CountsError
        For what is neither.
    """
    names = {} if past is None else {k.casefold(): v for k, v in past.trial.names.items()}
    full = names.get(str(text).strip().casefold(), str(text))
    if " " not in full.strip():
        raise CountsError(
            where=where,
            what=f"{text!r}",
            rule="a full name (Genus species 'Cultivar'), or a short name of the settings",
            next_step="write the genus and the species, or add the short name to [names]",
        )
    return plant_name(full)


def relation_between(scion: PlantName, understock: PlantName) -> str:
    """How near the two are: as in the records."""
    return relation_of(scion, understock)


def _same(text: object, name: PlantName) -> bool:
    try:
        return str(plant_name(str(text))) == str(name)
    except CountsError:
        return False


def past_combinations(
    past: Records, scion: PlantName, understock: PlantName, relation: str
) -> PastCombinations:
    """Read what a plan for a new combination needs.

    Raises
    ------
    DesignError
        When no combination is recorded, or all that is recorded is the new one.
    """
    lines, *_ = season_lines(past, past, ["combination"])
    table = lines.table
    tried = [
        _same(s, scion) and _same(u, understock)
        for s, u in zip(_column(table, past, "scion"), _column(table, past, "understock"),
                        strict=True)
    ]  # fmt: skip
    mine = np.array(tried, dtype=bool)
    others = table[~mine].reset_index(drop=True)
    if others.empty:
        raise DesignError(
            where="past",
            what="no other combination",
            rule="a new combination is planned by what others did",
            next_step="leave past out, or give records of combinations you know",
        )
    related = _related(others, relation)
    seasons = int(related["season"].nunique()) if len(related) else 0
    names = tuple(sorted(str(x) for x in related["combination"].unique()))
    new = None
    if len(names) >= 2:
        arrays = LineArrays.of(related, ["combination"], ["combination"])
        kind = np.unique(arrays.columns["combination"].astype(str), return_inverse=True)[1]
        new = fit_new_kind(
            arrays.taken, arrays.tried, kind, arrays.season, no_trays=past.no_trays
        ).take
    return PastCombinations(
        trays=None if past.no_trays else past_trays(past),
        standard=_standard(past, others, understock, relation),
        combinations=names,
        seasons=seasons,
        tray_count=int(related["tray_id"].nunique()) if len(related) else 0,
        graft_count=float(related["tried"].sum()) if len(related) else 0.0,
        new=new,
        tried=table[mine][["taken", "tried"]].reset_index(drop=True),
    )


def _column(table: DataFrame, past: Records, name: str) -> list[object]:
    """Scion or understock of each line, by its combination."""
    if name in table:
        return list(table[name])
    trays = past.trays
    known = dict(zip(trays["combination"], trays[name], strict=True))
    return [known.get(c) for c in table["combination"]]


def _related(table: DataFrame, relation: str) -> DataFrame:
    if "relation" not in table:
        return table.iloc[0:0]
    try:
        return of_relation(table, relation)
    except (UnknownColumnError, UnknownLevelError):
        return table.iloc[0:0]


def _standard(past: Records, others: DataFrame, understock: PlantName, relation: str) -> Standard:
    """The combination named in the settings, else the one with most trays on this understock."""
    counts = others.groupby("combination")["tray_id"].nunique()
    typed = str(past.trial.trial.get("standard", "")).casefold()
    named = [name for name in counts.index if str(name).casefold() == typed]
    stocks = dict(zip(others["combination"], _column(others, past, "understock"), strict=True))
    here = [name for name in counts.index if _same(stocks[name], understock)]
    near = list(_related(others, relation)["combination"].unique())
    pools = (
        (named, "settings"),
        (here, "same understock"),
        (near, "same relation"),
        (list(counts.index), "most trays"),
    )
    pool, why = next((pool, why) for pool, why in pools if pool)
    chosen = str(counts[pool].idxmax())
    table = expected_take(past, "combination", level=0.9, side="both").table
    row = table[table["combination"] == chosen].iloc[0]
    return Standard(
        name=chosen,
        why=why,
        take=float(row["expected_take"]),
        low=float(row["low"]),
        high=float(row["high"]),
        seasons=int(row["seasons"]),
        trays=int(row["trays"]) if row["trays"] == row["trays"] else 0,
        grafts=float(row["grafts"]),
    )
