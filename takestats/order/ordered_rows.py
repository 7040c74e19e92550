"""How many grafts of one combination, and what will they give?"""

from __future__ import annotations

import math
from dataclasses import dataclass

from takestats.errors import DesignError
from takestats.order.past_seasons import PastShare
from takestats.order.plain_chain import plain_need, whole_up
from takestats.order.plants_to_come import MOST_GRAFTS, PlantsToCome
from takestats.order.season_nodes import SeasonNodes
from takestats.records.targets import TypedTakes
from takestats.wording.order_told import too_many_words

RECORDS, OTHERS, TYPED = "records", "others like it", "typed takes"
_BARELY = 1e-3


@dataclass(frozen=True, kw_only=True)
class Ordered:
    """The grafts of one combination, and what they give; counts of plants, shares as proportions.

    Parameters
    ----------
    combination, scion, understock : str
    rests_on : {"records", "others like it", "typed takes"}
    wanted, grafts : int
    assurance, chance : float
        Asked for; reached by these grafts (nan with typed takes).
    plants : {"saleable", "taken"}
        What is counted: plants that took where saleable plants are not recorded.
    expected_take, take_low : float
        Of a new season: the middle, and the lower limit at the assurance; typed: the usual and
        the poor take.
    kept, kept_low : float
        Saleable of those that took, likewise; nan where not recorded.
    kept_typed : bool
        The cull was typed.
    low_plants, plants_expected, high_plants : float
        Reached with the chance of the assurance; on average; passed with one minus it.
    low_taken, taken_expected, high_taken : float
        Likewise of plants that took.
    exact_grafts : float
        Before rounding up: typed takes only, else as ``grafts``.
    past, graded, sold : PastShare or None
        Take, saleable of those that took, and saleable of grafts made: the last is what grafts
        are ordered on wherever it is recorded.
    """

    combination: str
    scion: str
    understock: str
    rests_on: str
    wanted: int
    grafts: int
    assurance: float
    chance: float
    plants: str
    expected_take: float
    take_low: float
    kept: float
    kept_low: float
    kept_typed: bool
    low_plants: float
    plants_expected: float
    high_plants: float
    low_taken: float
    taken_expected: float
    high_taken: float
    exact_grafts: float
    past: PastShare | None
    graded: PastShare | None
    sold: PastShare | None


def order_by_past(
    name: str,
    plants: tuple[str, str],
    wanted: int,
    take: PastShare,
    graded: PastShare | None,
    sold: PastShare | None,
    cull: float,
    *,
    assurance: float,
    tray_size: int,
    rests_on: str = RECORDS,
) -> Ordered:
    """Fewest grafts that give the plants wanted with this chance in a season not yet seen.

    Parameters
    ----------
    name : str
    plants : (scion, understock)
    wanted : int
    take : PastShare
    graded : PastShare or None
        Saleable of those that took. None: ``cull`` is used, where it is given.
    sold : PastShare or None
        Saleable of grafts made. None: take and ``graded`` are put together as if independent.
    cull : float
        nan: not given.
    assurance : float
    tray_size : int
    rests_on : str

    Raises
    ------
    DesignError
        When a million grafts are not enough.
    """
    kept = None if graded is None else graded.nodes
    if graded is None and not math.isnan(cull):
        kept = SeasonNodes.of_value(1.0 - cull)
    took = PlantsToCome.of(take.nodes, None, tray_size)
    come = took
    if sold is not None:
        come = PlantsToCome.of(sold.nodes, None, tray_size)
    elif kept is not None:
        come = PlantsToCome.of(take.nodes, kept, tray_size)
    grafts = come.fewest_grafts(wanted, assurance)
    tail = 1.0 - assurance
    take_low, take_middle = take.belief.quantiles((tail, 0.5))
    if grafts is None:
        raise DesignError(
            where=f"targets, {name}",
            what=too_many_words(wanted, MOST_GRAFTS, assurance, hardly=take_low < _BARELY),
            rule="an order is met when the plants wanted are reached with this chance",
            next_step="ask why so few took before ordering more, or type the takes you expect "
            "(poor, usual, good) beside the target"
            if take_low < _BARELY
            else "want fewer plants, or be content with a lower assurance",
        )
    share = (math.nan, math.nan)
    if graded is not None:
        low, middle = graded.belief.quantiles((tail, 0.5))
        share = (middle, low)
    elif kept is not None:
        share = (1.0 - cull, 1.0 - cull)
    return Ordered(
        combination=name,
        scion=plants[0],
        understock=plants[1],
        rests_on=rests_on,
        wanted=wanted,
        grafts=grafts,
        assurance=assurance,
        chance=come.chance(grafts, wanted),
        plants="taken" if kept is None else "saleable",
        expected_take=take_middle,
        take_low=take_low,
        kept=share[0],
        kept_low=share[1],
        kept_typed=graded is None and kept is not None,
        low_plants=come.plants_at(grafts, assurance),
        plants_expected=come.mean(grafts),
        high_plants=come.plants_at(grafts, tail),
        low_taken=took.plants_at(grafts, assurance),
        taken_expected=took.mean(grafts),
        high_taken=took.plants_at(grafts, tail),
        exact_grafts=float(grafts),
        past=take,
        graded=graded,
        sold=sold,
    )


def order_by_typed(
    name: str,
    plants: tuple[str, str],
    wanted: int,
    takes: TypedTakes,
    cull: float,
    *,
    assurance: float,
) -> Ordered:
    """Grafts by plain arithmetic on the poor take of three that were typed.

    Raises
    ------
    DesignError
        When nothing is left of a graft at the poor take, or a million are not enough.
    """
    left = 0.0 if math.isnan(cull) else cull
    need = plain_need(wanted, takes.poor, cull=left)
    if not need.grafts <= MOST_GRAFTS:
        raise DesignError(
            where=f"targets, {name}",
            what=too_many_words(wanted, MOST_GRAFTS, math.nan, hardly=not takes.poor * (1 - left)),
            rule="grafts are ordered on the poor take, less the culls",
            next_step="check the poor take and the cull, or want fewer plants",
        )
    grafts = whole_up(need.grafts)
    poor, usual, good = (grafts * take for take in takes)
    return Ordered(
        combination=name,
        scion=plants[0],
        understock=plants[1],
        rests_on=TYPED,
        wanted=wanted,
        grafts=grafts,
        assurance=assurance,
        chance=math.nan,
        plants="taken" if math.isnan(cull) else "saleable",
        expected_take=takes.usual,
        take_low=takes.poor,
        kept=1.0 - cull,
        kept_low=1.0 - cull,
        kept_typed=not math.isnan(cull),
        low_plants=poor * (1.0 - left),
        plants_expected=usual * (1.0 - left),
        high_plants=good * (1.0 - left),
        low_taken=poor,
        taken_expected=usual,
        high_taken=good,
        exact_grafts=need.grafts,
        past=None,
        graded=None,
        sold=None,
    )
