"""What will the order cost in hours and money, and what will a plant of it cost?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from pandas import DataFrame

from takestats.answers.spending import Spend, plan_of, spent
from takestats.answers.stage_lines import stage_lines
from takestats.order.ordered_rows import Ordered
from takestats.records.cost_steps import CostPlan
from takestats.records.result import Records
from takestats.records.settings import TrialSettings

COLUMNS = (
    "combination",
    "grafts",
    "hours",
    "hours_low",
    "hours_high",
    "labour",
    "labour_low",
    "labour_high",
    "material",
    "material_low",
    "material_high",
    "cost",
    "cost_low",
    "cost_high",
    "cost_per_plant",
    "cost_per_plant_low",
    "cost_per_plant_high",
)
ALL = "all"


@dataclass(frozen=True, eq=False, kw_only=True)
class OrderMoney:
    """What the order costs.

    Parameters
    ----------
    table : DataFrame
        One row for each combination and one for all; empty without costs. Money in the currency
        of the settings; hours of work.
    plan : CostPlan or None
    without_saleable : bool
        Steps done for saleable plants are left out for some combination, whose saleable plants
        are not recorded.
    unlimited : tuple of str
        Steps limited to one method or wood that could not be weighed, for want of records.
    """

    table: DataFrame
    plan: CostPlan | None
    without_saleable: bool
    unlimited: tuple[str, ...]


def order_money(
    ordered: Sequence[Ordered],
    records: Records | None,
    count: str | None,
    settings: TrialSettings,
) -> OrderMoney:
    """Hours, labour and material of every combination, and of all.

    Parameters
    ----------
    ordered : sequence of Ordered
    records : Records or None
        For steps limited to one method or scion wood: the share of the grafts of the
        combination's newest season that have it.
    count : str or None
    settings : TrialSettings

    Notes
    -----
    Grafts are certain, plants that take and saleable plants are not: low and high are the costs
    of a season as poor, and as good, as the assurance allows for. A poor season costs less in
    all and more for each plant. The row for all puts every combination in the same season. Costs
    of a step have no interval of their own. Seedlings that are not fit to graft cost nothing
    here, unless the price of an understock has them in it.
    """
    plan = plan_of(settings)
    if plan is None:
        return OrderMoney(
            table=DataFrame(columns=list(COLUMNS)),
            plan=None,
            without_saleable=False,
            unlimited=(),
        )
    lines = None
    if records is not None:
        lines = stage_lines(records, count=count, out_of="made").table
    rows = []
    for asked in ordered:
        own = _newest(lines, asked.combination)
        rows.append(_row(asked, _split(plan, own)))
    rows.append(_total(rows, ordered))
    rows = [row | _priced(row, plan.hour) for row in rows]
    limited = tuple(step.name for step in plan.steps if step.only is not None)
    bare = any(_newest(lines, asked.combination) is None for asked in ordered)
    return OrderMoney(
        table=DataFrame(rows, columns=list(COLUMNS)),
        plan=plan,
        without_saleable=any(step.per == "saleable" for step in plan.steps)
        and any(row.plants == "taken" for row in ordered),
        unlimited=limited if bare else (),
    )


def _newest(lines: DataFrame | None, combination: str) -> DataFrame | None:
    if lines is None or "combination" not in lines:
        return None
    own = lines[lines["combination"].astype(str) == combination]
    return own[own["season"] == own["season"].max()] if len(own) else None


def _split(plan: CostPlan, own: DataFrame | None) -> tuple[Spend, Spend]:
    """Hours, and money beside the work, for each graft, plant taken and plant saleable."""
    work = replace(plan, hour=1.0, steps=tuple(replace(s, money=0.0) for s in plan.steps))
    goods = replace(plan, hour=0.0)
    return spent(work, own), spent(goods, own)


def _of(spend: Spend, grafts: float, taken: float, saleable: float) -> float:
    after = 0.0 if math.isnan(saleable) else spend.saleable * saleable
    return spend.graft * grafts + spend.taken * taken + after


def _row(asked: Ordered, split: tuple[Spend, Spend]) -> dict[str, Any]:
    hours, goods = split
    sold = asked.plants == "saleable"
    row: dict[str, Any] = {"combination": asked.combination, "grafts": asked.grafts}
    seasons = (
        ("", asked.taken_expected, asked.plants_expected),
        ("_low", asked.low_taken, asked.low_plants),
        ("_high", asked.high_taken, asked.high_plants),
    )
    for end, taken, plants in seasons:
        saleable = plants if sold else math.nan
        row[f"hours{end}"] = _of(hours, asked.grafts, taken, saleable)
        row[f"material{end}"] = _of(goods, asked.grafts, taken, saleable)
        row[f"plants{end}"] = plants
    return row


def _total(rows: Sequence[dict[str, Any]], ordered: Sequence[Ordered]) -> dict[str, Any]:
    total: dict[str, Any] = {"combination": ALL, "grafts": sum(row.grafts for row in ordered)}
    for name in ("hours", "material", "plants"):
        for end in ("", "_low", "_high"):
            total[f"{name}{end}"] = sum(row[f"{name}{end}"] for row in rows)
    return total


def _priced(row: dict[str, Any], hour: float | None) -> dict[str, Any]:
    """Labour and all costs in money, and for each plant; nan where an hour has no price."""
    found: dict[str, Any] = {}
    for end in ("", "_low", "_high"):
        hours = row[f"hours{end}"]
        price = hour if hour is not None else (math.nan if hours > 0.0 else 0.0)
        found[f"labour{end}"] = hours * price
        found[f"cost{end}"] = row[f"material{end}"] + found[f"labour{end}"]
    # A poor season costs less in all, and more for each plant.
    for end, other in (("", ""), ("_low", "_high"), ("_high", "_low")):
        plants = row[f"plants{other}"]
        found[f"cost_per_plant{end}"] = found[f"cost{other}"] / plants if plants else math.inf
    return found
