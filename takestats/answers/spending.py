"""What is spent on a graft, on one that took, on one that can be sold?"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from pandas import DataFrame

from takestats.models.lines import as_level
from takestats.records.cost_steps import CostPlan, CostStep, cost_plan
from takestats.records.settings import TrialSettings
from takestats.wording import costs as words


class Spend(NamedTuple):
    """Money for each graft made, each plant that took, each plant fit for sale."""

    graft: float
    taken: float
    saleable: float


def plan_of(settings: TrialSettings) -> CostPlan | None:
    """The costs of the settings; None where no step has one."""
    return cost_plan(settings.costs, settings.methods)


def told_of(plan: CostPlan) -> words.Told:
    """What a sentence says of all costs."""
    return words.Told(plan.currency, plan.assumed, plan.price)


def left_of(plan: CostPlan, lines: DataFrame) -> words.Left:
    """Which steps are in the money of these lines, and which are not."""
    no_tray = [
        f"{step.name} ({step.only[1]})"
        for step in plan.steps
        if step.only is not None and _share_of(step, lines) == 0.0
    ]
    names = [step.name for step in plan.steps]
    return words.Left(names, plan.left_out, plan.without_hour, no_tray)


def spent(plan: CostPlan, lines: DataFrame | None = None) -> Spend:
    """What is spent on a graft, on one that took, and on one that can be sold?

    Parameters
    ----------
    plan : CostPlan
    lines : pandas.DataFrame, optional
        Tray lines (grafted, taken, saleable and the columns that steps are limited to). A step
        limited to one method or scion wood counts for the share of these that have it;
        without lines it is left out.

    Returns
    -------
    Spend
    """
    totals = {"graft": 0.0, "taken": 0.0, "saleable": 0.0}
    for step in plan.steps:
        totals[step.per] += plan.money_of(step) * _share_of(step, lines)
    return Spend(totals["graft"], totals["taken"], totals["saleable"])


def _share_of(step: CostStep, lines: DataFrame | None) -> float:
    """Which share of the plants the step is done for."""
    if step.only is None:
        return 1.0
    column, level = step.only
    if lines is None or column not in lines:
        return 0.0
    weight = lines[{"graft": "grafted"}.get(step.per, step.per)].to_numpy(dtype=float)
    if not np.nansum(weight):
        weight = lines["taken"].to_numpy(dtype=float)
    has = np.array([as_level(value) == level for value in lines[column]])
    total = float(np.nansum(weight))
    return float(np.nansum(weight[has])) / total if total else 0.0


def cost_per_taken(spend: Spend, take: float) -> float:
    """Money for a plant that took: what its failures cost is in it.

    Examples
    --------
    >>> cost_per_taken(Spend(4.0, 0.5, 0.0), 0.8)
    5.5
    """
    if math.isnan(take):
        return math.nan
    return spend.graft / take + spend.taken if take > 0.0 else math.inf


def cost_per_saleable(spend: Spend, take: float, saleable_of_taken: float) -> float:
    """Money for a plant fit for sale: failures and culls are in it.

    Examples
    --------
    >>> cost_per_saleable(Spend(4.0, 0.5, 1.0), 0.8, 0.5)
    12.0
    """
    if math.isnan(saleable_of_taken) or math.isnan(take):
        return math.nan
    if saleable_of_taken <= 0.0:
        return math.inf
    return cost_per_taken(spend, take) / saleable_of_taken + spend.saleable
