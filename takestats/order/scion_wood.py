"""How many scion pieces and sticks, of which wood, and what does the second wood cost in take?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.answers.gaps import differences
from takestats.answers.spending import plan_of
from takestats.errors import TakeError
from takestats.models.fit import fit_take
from takestats.order.asked import given_each, value_for
from takestats.order.ordered_rows import Ordered
from takestats.order.plain_chain import whole_up
from takestats.records.cost_steps import CostPlan
from takestats.records.result import Records
from takestats.records.settings import TrialSettings

TERMINAL, SUB_TERMINAL = "terminal", "sub_terminal"
COLUMNS = (
    "combination",
    "scion",
    "pieces",
    "pieces_a_stick",
    "sticks",
    "terminal",
    "sub_terminal",
    "short",
    "fewer_plants",
    "fewer_low",
    "fewer_high",
    "training",
)


@dataclass(frozen=True, kw_only=True)
class WoodDifference:
    """Take of sub-terminal minus terminal wood, a proportion, with its interval.

    Parameters
    ----------
    difference, low, high : float
    level : float
    seasons : tuple of str
        Those that record both woods; blank: not recorded.
    within : tuple of str
        What else it was held at: combinations, where there are several.
    trays : tuple of float
        Of sub-terminal and of terminal wood; nan where not recorded.
    by_lot : bool
        The wood was given by lot.
    """

    difference: float
    low: float
    high: float
    level: float
    seasons: tuple[str, ...]
    within: tuple[str, ...]
    trays: tuple[float, float]
    by_lot: bool


@dataclass(frozen=True, eq=False, kw_only=True)
class ScionWood:
    """Pieces and sticks of each combination.

    Parameters
    ----------
    table : DataFrame
        combination, scion, pieces, pieces_a_stick, sticks, terminal, sub_terminal (pieces; nan:
        not recorded how many there are), short (pieces that neither gives), fewer_plants,
        fewer_low, fewer_high (that take because of sub-terminal pieces), training (money of the
        steps done for sub-terminal wood only; nan: not recorded).
    difference : WoodDifference or None
        None where it was not needed or no season has both woods.
    """

    table: DataFrame
    difference: WoodDifference | None


def scion_wood(
    ordered: Sequence[Ordered],
    records: Records | None,
    count: str | None,
    settings: TrialSettings,
) -> ScionWood:
    """From grafts to scion pieces, terminal wood first, and to sticks.

    Parameters
    ----------
    ordered : sequence of Ordered
        Combinations of one scion share its wood, in this order.
    records : Records or None
    count : str or None
    settings : TrialSettings

    Raises
    ------
    UnknownLevelError
        For a setting of a scion that is not there.
    """
    scions = known_scions(ordered, records)
    each = {
        key: given_each(settings, key, scions, "a scion")
        for key in ("pieces_a_graft", "pieces_a_stick", "terminal_pieces", "sub_terminal_pieces")
    }
    left = {
        (row.scion, key): value_for(each[key], row.scion)
        for row in ordered
        for key in ("terminal_pieces", "sub_terminal_pieces")
    }
    rows: list[dict[str, Any]] = []
    for row in ordered:
        for_each = value_for(each["pieces_a_graft"], row.scion)
        pieces = whole_up(row.grafts * (1.0 if math.isnan(for_each) else for_each))
        cut = value_for(each["pieces_a_stick"], row.scion)
        terminal = _drawn(left, (row.scion, "terminal_pieces"), pieces)
        rest = math.nan if math.isnan(terminal) else pieces - terminal
        second = _drawn(left, (row.scion, "sub_terminal_pieces"), rest)
        sub = rest if math.isnan(second) else second
        rows.append(
            {
                "combination": row.combination,
                "scion": row.scion,
                "pieces": pieces,
                "pieces_a_stick": cut,
                "sticks": math.nan if math.isnan(cut) else float(whole_up(pieces / cut)),
                "terminal": terminal,
                "sub_terminal": sub,
                "short": rest - sub,
            }
        )
    found = None
    if records is not None and any(row["sub_terminal"] > 0 for row in rows):
        found = wood_difference(records, count)
    plan = plan_of(settings)
    for made, asked in zip(rows, ordered, strict=True):
        made |= _second_wood(made, asked, found, plan)
    return ScionWood(table=DataFrame(rows, columns=list(COLUMNS)), difference=found)


def known_scions(ordered: Sequence[Ordered], records: Records | None) -> set[str]:
    """Scions that the settings of the wood may name: of the order, and on record."""
    scions = {row.scion for row in ordered}
    if records is not None and "scion" in records.trays:
        scions |= {str(s) for s in records.trays["scion"].dropna().unique()}
    return scions


def second_wood(lines: DataFrame) -> dict[str, float]:
    """Share of sub-terminal wood of each combination, of the grafts whose wood is recorded."""
    if "scion_wood" not in lines or "grafted" not in lines:
        return {}
    known = lines[lines["scion_wood"].notna()]
    made: dict[str, list[float]] = {}
    columns = (known[name].tolist() for name in ("combination", "scion_wood", "grafted"))
    for name, wood, grafts in zip(*columns, strict=True):
        both = made.setdefault(str(name), [0.0, 0.0])
        both[0] += float(grafts) if wood == SUB_TERMINAL else 0.0
        both[1] += float(grafts)
    return {name: part / whole for name, (part, whole) in made.items() if whole > 0.0}


def _drawn(left: dict[tuple[str, str], float], key: tuple[str, str], wanted: float) -> float:
    """Take pieces from what is left of a scion's wood; nan where it is not recorded."""
    if math.isnan(left[key]) or math.isnan(wanted):
        return math.nan
    drawn = min(left[key], wanted)
    left[key] -= drawn
    return drawn


def _second_wood(
    row: dict[str, Any], asked: Ordered, found: WoodDifference | None, plan: CostPlan | None
) -> dict[str, float]:
    """What sub-terminal pieces cost in plants, and in money for training."""
    none = {"fewer_plants": math.nan, "fewer_low": math.nan, "fewer_high": math.nan}
    number = row["sub_terminal"]
    if math.isnan(number):
        return none | {"training": math.nan}
    grafts = number * asked.grafts / row["pieces"]
    fewer = none
    if number == 0:
        fewer = dict.fromkeys(none, 0.0)
    elif found is not None:
        fewer = {
            "fewer_plants": -grafts * found.difference,
            "fewer_low": -grafts * found.high,
            "fewer_high": -grafts * found.low,
        }
    return fewer | {"training": _training(grafts, asked, plan)}


def _training(grafts: float, asked: Ordered, plan: CostPlan | None) -> float:
    """Money of the steps that are done for sub-terminal wood only."""
    if plan is None:
        return math.nan
    own = tuple(step for step in plan.steps if step.only == ("scion_wood", SUB_TERMINAL))
    if not own:
        return math.nan
    per = {
        "graft": grafts,
        "taken": grafts * asked.expected_take,
        "saleable": grafts * asked.expected_take * asked.kept,
    }
    return sum(plan.money_of(step) * per[step.per] for step in own)


def wood_difference(records: Records, count: str | None) -> WoodDifference | None:
    """Take of sub-terminal minus terminal wood, within the seasons that record both.

    Parameters
    ----------
    records : Records
    count : str or None

    Returns
    -------
    WoodDifference or None
        Season by season, and among the same combinations where the records allow it; None when
        no season has both.
    """
    trays = records.trays
    if "scion_wood" not in trays or trays["scion_wood"].isna().all():
        return None
    counted = trays[trays["counted"].astype(bool)]
    season = counted["season"].astype(str)
    both = [
        name
        for name in sorted(season.unique())
        if {TERMINAL, SUB_TERMINAL} <= set(counted["scion_wood"][season == name].dropna())
    ]
    if not both:
        return None
    for extra in (["combination"], []):
        try:
            model = fit_take(
                records,
                ["scion_wood", *extra],
                count=count,
                grouping=None,
            )
            found = differences(model, "scion_wood", pairs=[(SUB_TERMINAL, TERMINAL)])
        except TakeError:
            continue
        row = found.table.iloc[0]
        if np.isnan(float(row["difference"])):
            continue
        drawn = records.trial.bench.get("drawn", [])
        return WoodDifference(
            difference=float(row["difference"]),
            low=float(row["low"]),
            high=float(row["high"]),
            level=found.level,
            seasons=() if trays["season"].isna().all() else tuple(both),
            within=tuple(extra),
            trays=(float(row["trays_a"]), float(row["trays_b"])),
            by_lot=records.layout == "matches" and "scion_wood" in drawn,
        )
    return None
