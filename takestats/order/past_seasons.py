"""What do the seasons on record say of the next one, combination by combination?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.season_lines import season_lines
from takestats.answers.stage_lines import stage_lines
from takestats.errors import CountsError
from takestats.models.belief import SpreadEstimate
from takestats.models.fit_notes import count_dates
from takestats.models.grid_pairs import Distribution
from takestats.models.grouped_belief import spread_limits
from takestats.models.grouped_seasons import SeasonFit, fit_new_kind, fit_seasons
from takestats.models.take_model import TakeModel
from takestats.order.season_nodes import SeasonNodes
from takestats.order.season_spread import saleable_scale
from takestats.records.derive import NOT_RECORDED
from takestats.records.result import Records

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]
_SPREAD_LEVEL = 0.95


@dataclass(frozen=True, eq=False, kw_only=True)
class PastShare:
    """A share of the season to come: a take, or how many of those that took are saleable.

    Parameters
    ----------
    nodes : SeasonNodes
    belief : Distribution
        Of the season's share.
    seasons, trays, plants : float
        Behind it; trays nan where none were recorded, seasons 0 where none were.
    pooled : bool
        The spread between seasons is shared with other combinations.
    scale : float
        Of the half-normal prior on that spread.
    spread : SpreadEstimate or None
        Between seasons, log odds, 95 % limits; None for a combination not yet tried.
    """

    nodes: SeasonNodes
    belief: Distribution
    seasons: int
    trays: float
    plants: float
    pooled: bool
    scale: float
    spread: SpreadEstimate | None


@dataclass(frozen=True, eq=False, kw_only=True)
class PastSeasons:
    """All combinations on record.

    Parameters
    ----------
    records : Records
    count : str
    lines : DataFrame
        Tray lines of every season: combination, scion, understock, season, grafted and more.
    graded : DataFrame
        Tray lines with saleable plants recorded: combination, season, tray_id, tried, taken,
        saleable.
    dates : str
        When the compared count was made.
    notes : tuple of str
    seasoned : bool
        Seasons were recorded.
    """

    records: Records
    count: str
    lines: DataFrame
    graded: DataFrame
    dates: tuple[str, ...]
    notes: tuple[str, ...]
    seasoned: bool

    @cached_property
    def takes(self) -> dict[str, PastShare]:
        """Take, by combination."""
        return _shares(self, self.lines, "taken", "tried")

    @cached_property
    def kept(self) -> dict[str, PastShare]:
        """Saleable of those that took, of the combinations that record it."""
        some = self.graded[self.graded["taken"] > 0]
        return _shares(self, some, "saleable", "taken") if len(some) else {}

    @cached_property
    def sold(self) -> dict[str, PastShare]:
        """Saleable of grafts made, of the combinations whose every tray line records it."""
        named = ("combination", "tried")
        made, known = (
            table.groupby("combination")["tried"].sum()
            for table in (self.lines[list(named)], self.graded[list(named)])
        )
        whole = [str(name) for name in known.index if known[name] == made[name]]
        mine = self.graded[self.graded["combination"].isin(whole)]
        return _shares(self, mine, "saleable", "tried") if whole else {}

    @cached_property
    def plants(self) -> dict[str, tuple[str, str]]:
        """Scion and understock of each combination."""
        names = ("combination", "scion", "understock")
        pairs = zip(*(self.lines[name].astype(str) for name in names), strict=True)
        return {combination: (scion, stock) for combination, scion, stock in pairs}


def past_seasons(model: TakeModel | Records) -> PastSeasons:
    """Read what past seasons say of the next one.

    Parameters
    ----------
    model : TakeModel or Records
        All seasons of its records are used, at the count of the model.

    Raises
    ------
    CountsError
        For a model whose take is a share of live understock: grafts are ordered as made.
    UnknownColumnError, DesignError
        No combination is recorded, or no line can be used.
    """
    if isinstance(model, TakeModel) and model.out_of != "made":
        raise CountsError(
            where="understock_order",
            what=f"a model with out_of={model.out_of!r}",
            rule="an order counts grafts made: an understock that dies is a graft lost",
            next_step='fit it with out_of="made", or give the records',
        )
    records = model.records if isinstance(model, TakeModel) else model
    lines, _, count, seasoned = season_lines(model, records, ["combination"])
    table = lines.table
    graded = _graded(records, count, {str(name) for name in table["combination"]})
    return PastSeasons(
        records=records,
        count=count,
        lines=table,
        graded=graded,
        dates=count_dates(table),
        notes=lines.notes,
        seasoned=seasoned,
    )


def of_others(
    past: PastSeasons, combinations: list[str], which: Literal["take", "kept", "sold"]
) -> PastShare | None:
    """Share of a combination not yet tried, from those it is taken to resemble.

    Parameters
    ----------
    past : PastSeasons
    combinations : list of str
    which : {"take", "kept", "sold"}
        The take, saleable of those that took, or saleable of grafts made.

    Returns
    -------
    PastShare or None
        None where fewer than two of them are recorded.
    """
    table = past.lines if which == "take" else past.graded
    if which == "sold":
        combinations = [name for name in combinations if name in past.sold]
    table = table[table["combination"].isin(combinations)]
    if which == "kept":
        table = table[table["taken"] > 0]
    names, kind = _coded(table["combination"])
    if len(names) < 2:
        return None
    good = "taken" if which == "take" else "saleable"
    of = "taken" if which == "kept" else "tried"
    season = _coded(table["season"])[1]
    found = fit_new_kind(
        _floats(table, good), _floats(table, of), kind, season, no_trays=past.records.no_trays
    )
    known = {str(s) for s in table["season"]} - {NOT_RECORDED}
    return PastShare(
        nodes=SeasonNodes.of_new_kind(found),
        belief=found.take,
        seasons=len(known),
        trays=math.nan if past.records.no_trays else float(table["tray_id"].nunique()),
        plants=float(table[of].sum()),
        pooled=False,
        scale=math.nan,
        spread=None,
    )


def _floats(table: DataFrame, name: str) -> Floats:
    return np.asarray(table[name].to_numpy(dtype=float, na_value=np.nan))


def _coded(values: Iterable[object]) -> tuple[list[str], Codes]:
    names, codes = np.unique(np.array([str(v) for v in values]), return_inverse=True)
    return [str(name) for name in names], codes


def _graded(records: Records, count: str, known: set[str]) -> DataFrame:
    """Tray lines with saleable plants, one for each tray and combination; none took: none sold."""
    table = stage_lines(records, count=count, out_of="made").table
    numbers = ["tried", "taken", "saleable"]
    keys = ["combination", "season", "tray_id"]
    if table["saleable"].isna().all() or "combination" not in table:
        return DataFrame(columns=[*keys, *numbers])
    table = table.astype({"combination": str, "season": str, "tray_id": str})
    table[numbers] = table[numbers].astype(float)
    table.loc[table["taken"] == 0.0, "saleable"] = 0.0
    table = table[table["saleable"].notna() & table["combination"].isin(known)]
    if (table["season"] != "").any():
        table = table[table["season"] != ""]
    return table.groupby(keys, sort=False)[numbers].sum().reset_index()


def _shares(past: PastSeasons, table: DataFrame, good: str, of: str) -> dict[str, PastShare]:
    """A share of the season to come, combination by combination."""
    names, kind = _coded(table["combination"])
    tried, bare = _floats(table, of), past.records.no_trays
    fits = fit_seasons(
        _floats(table, good),
        tried,
        kind,
        _coded(table["season"])[1],
        no_trays=bare,
        own_scales=_of_saleable(table) if (good, of) == ("saleable", "tried") else None,
    )
    trays = np.array([str(t) for t in table["tray_id"]])
    spreads: dict[int, SpreadEstimate] = {}
    found = {}
    for index, (name, (fit, place)) in enumerate(zip(names, fits, strict=True)):
        mine = kind == index
        found[name] = PastShare(
            nodes=SeasonNodes.of_fit(fit, place),
            belief=fit.new_season(place),
            seasons=len(fit.seasons[place]) if past.seasoned else 0,
            trays=math.nan if bare else float(np.unique(trays[mine]).size),
            plants=float(tried[mine].sum()),
            pooled=fit.pooled,
            scale=fit.scale,
            spread=_spread(fit, spreads),
        )
    return found


def _of_saleable(table: DataFrame) -> list[float]:
    """Scale of the prior for each combination, by name; see :func:`saleable_scale`."""
    sums = table.groupby(table["combination"].astype(str), sort=True)[
        ["tried", "taken", "saleable"]
    ]
    return [saleable_scale(*row) for row in sums.sum().itertuples(index=False)]


def _spread(fit: SeasonFit, known: dict[int, SpreadEstimate]) -> SpreadEstimate:
    if id(fit) not in known:
        known[id(fit)] = spread_limits(fit.posterior.between(), _SPREAD_LEVEL)
    return known[id(fit)]
