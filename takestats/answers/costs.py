"""What does a plant cost that took, or that can be sold, and at which take does it pay?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame

from takestats.answers.rates import TakeRates
from takestats.answers.spending import (
    Spend,
    cost_per_taken,
    left_of,
    plan_of,
    spent,
    told_of,
)
from takestats.answers.stage_lines import StageLines, levels_of, stage_lines
from takestats.answers.stages import SALEABLE_OF_TAKEN, TAKEN, stage_shares
from takestats.errors import SettingsError
from takestats.models.result import TableResult
from takestats.records.cost_steps import CostPlan
from takestats.records.settings import TrialSettings
from takestats.wording import costs as words

if TYPE_CHECKING:
    from takestats.records.result import Records

Limits = tuple[float, float, float]
NOTHING: Limits = (math.nan, math.nan, math.nan)
COLUMNS = (
    "spent_per_graft",
    "spent_per_taken",
    "spent_per_saleable",
    "take_rate",
    "take_low",
    "take_high",
    "trays",
    "grafts",
    "cost_per_taken",
    "taken_low",
    "taken_high",
    "saleable_share",
    "saleable_low",
    "saleable_high",
    "saleable_trays",
    "cost_per_saleable",
    "cost_low",
    "cost_high",
    "break_even_take",
    "break_even_low",
    "break_even_high",
    "first_date",
    "last_date",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class PlantCosts(TableResult):
    """Costs per plant.

    Parameters
    ----------
    by : str
        The column whose levels are told apart; blank for all together.
    plan : CostPlan
    level : float
    """

    by: str
    plan: CostPlan
    level: float


def break_even_take(
    settings: TrialSettings | CostPlan | None,
    saleable_of_taken: float,
    *,
    lines: DataFrame | None = None,
) -> float | None:
    """Under which take does a saleable plant cost more than it sells for?

    Parameters
    ----------
    settings : TrialSettings or CostPlan or None
    saleable_of_taken : float
        Share of those that took which are fit for sale; nan when not recorded.
    lines : pandas.DataFrame, optional
        As for :func:`spent`.

    Returns
    -------
    float or None
        A share of the grafts made. Above 1 (infinite, at worst): no take pays. None where no
        costs, no price or no saleable plants are recorded.

    Notes
    -----
    Solves ``price = (per graft / take + per taken) / saleable of taken + per saleable``.

    Examples
    --------
    >>> from takestats.records.settings import read_trial
    >>> known = read_trial({"costs": {"price": 10, "understock": 4, "grow on": "1, per saleable"}})
    >>> break_even_take(known, 0.8)
    0.5555555555555556
    """
    plan = plan_of(settings) if isinstance(settings, TrialSettings) else settings
    if plan is None or plan.price is None or not saleable_of_taken > 0.0:
        return None
    spend = spent(plan, lines)
    left = (plan.price - spend.saleable) * saleable_of_taken - spend.taken
    return spend.graft / left if left > 0.0 else math.inf


def plant_costs(
    records: Records,
    by: str | None = None,
    *,
    rates: TakeRates | None = None,
    lines: StageLines | None = None,
    season: str | None = None,
    level: float = 0.95,
) -> PlantCosts:
    """What does a plant cost that took, and one that can be sold?

    Parameters
    ----------
    records : Records
        With ``[costs]`` in the settings.
    by : str, optional
        "method", "scion_wood" or another column.
    rates : TakeRates, optional
        Takes of these levels (out of grafts made), as the page compares them; else raw takes
        with quick limits.
    lines : StageLines, optional
        As counted, out of grafts made; made from the records when not given.
    season : str, optional
        The newest when not given.
    level : float
        Confidence level; that of ``rates`` when these are given.

    Returns
    -------
    PlantCosts
        The column (``level`` without one); spent_per_graft, spent_per_taken,
        spent_per_saleable; take_rate, take_low, take_high, trays, grafts (made);
        cost_per_taken, taken_low, taken_high; saleable_share (of those that took),
        saleable_low, saleable_high, saleable_trays; cost_per_saleable, cost_low, cost_high;
        break_even_take, break_even_low, break_even_high; first_date, last_date of the
        saleable count. Money in the currency of the settings; nan where saleable plants or a
        price are not recorded, infinite where none took.

    Raises
    ------
    SettingsError
        When the settings have no costs.
    UnknownColumnError

    Notes
    -----
    Money per plant taken falls as the take rises, so the limits of the take give its limits,
    turned round. A saleable plant rests on two shares, take and saleable of those that took:
    limits by square-and-add on the log scale, as if the two were estimated apart. Costs have
    no interval of their own: they are as exact as they were written. A missing graft costs as
    much as any other and is taken to have done as those that were found.

    References
    ----------
    Square-and-add of limits: Newcombe 1998, Stat Med 17:873-890, method 10; on the log scale
    from memory.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.costs import plant_costs
    >>> bench = pd.DataFrame({"season": ["2026"] * 2, "tray": ["A", "B"], "grafted": [20, 20],
    ...     "taken": [18, 14], "saleable": [16, 12]})
    >>> known = ts.records_from_frame(bench, trial={"costs": {"understock": 4}})
    >>> plant_costs(known).table[["cost_per_taken"]].values.tolist()
    [[5.0]]
    """
    plan = plan_of(records.trial)
    if plan is None:
        raise SettingsError(
            where=records.trial.file or "settings",
            what="no costs",
            rule="what a plant costs is reckoned from the steps under [costs]",
            next_step='write each step, as understock = 2.60 or "tie and seal" = "0.5 min, 0.10"',
        )
    lines = stage_lines(records, out_of="made") if lines is None else lines
    level = level if rates is None else rates.level
    chosen = season if season is not None else lines.seasons[-1]
    own = lines.of_season(chosen)
    shares = stage_shares(lines, by, season=chosen, level=level)
    label = by or "level"
    takes = _takes(shares.table, label, rates)
    levels = levels_of(own, by)
    rows = []
    for name in dict.fromkeys(shares.table[label]):
        sale = shares.row(SALEABLE_OF_TAKEN, str(name), chosen)
        if name in takes:
            rows.append({label: name} | _row(plan, own, levels == name, takes[name], sale))
    return PlantCosts(
        _table=DataFrame(rows, columns=[label, *COLUMNS]),
        notes=words.cost_notes(
            told_of(plan), left_of(plan, own), compared=rates is not None, level=level
        ),
        sentences=words.cost_sentences(rows, label, told_of(plan), level),
        by=by or "",
        plan=plan,
        level=level,
    )


def _takes(table: DataFrame, label: str, rates: TakeRates | None) -> dict[str, dict[str, Any]]:
    """The take of each level with its limits, trays and grafts."""
    raw = table[table["stage"] == TAKEN].to_dict("records")
    counted = {
        str(row[label]): {"grafts": row["out_of"], "trays": row["trays"]}
        | {"take_rate": row["share"], "take_low": row["low"], "take_high": row["high"]}
        for row in raw
    }
    if rates is None:
        return counted
    compared = rates.table.assign(**({} if rates.by else {label: "all"})).to_dict("records")
    return {
        str(row[label]): counted[str(row[label])]
        | {"take_rate": row["take_rate"], "take_low": row["low"], "take_high": row["high"]}
        for row in compared
        if str(row[label]) in counted
    }


def _row(
    plan: CostPlan,
    own: DataFrame,
    mine: NDArray[np.bool_],
    take: Mapping[str, Any],
    sale: Mapping[str, Any],
) -> dict[str, Any]:
    lines = own[mine]
    spend = spent(plan, lines)
    rate, low, high = (float(take[name]) for name in ("take_rate", "take_low", "take_high"))
    fit: Limits = (float(sale["share"]), float(sale["low"]), float(sale["high"]))
    taken = tuple(cost_per_taken(spend, value) for value in (rate, high, low))
    cost = _per_saleable(spend, (taken[0], taken[1], taken[2]), fit)
    even = [break_even_take(plan, value, lines=lines) for value in (fit[0], fit[2], fit[1])]
    told = [math.nan if value is None else value for value in even]
    return dict(take) | {
        "spent_per_graft": spend.graft,
        "spent_per_taken": spend.taken,
        "spent_per_saleable": spend.saleable,
        "cost_per_taken": taken[0],
        "taken_low": taken[1],
        "taken_high": taken[2],
        "saleable_share": fit[0],
        "saleable_low": fit[1],
        "saleable_high": fit[2],
        "saleable_trays": sale["trays"],
        "cost_per_saleable": cost[0],
        "cost_low": cost[1],
        "cost_high": cost[2],
        "break_even_take": told[0],
        "break_even_low": told[1],
        "break_even_high": math.inf if plan.price is not None and fit[1] == 0.0 else told[2],
        "first_date": sale["first_date"],
        "last_date": sale["last_date"],
    }


def _per_saleable(spend: Spend, taken: Limits, fit: Limits) -> Limits:
    """Money per saleable plant with limits by square-and-add of the logs of its two parts."""
    if math.isnan(fit[0]) or math.isnan(taken[0]):
        return NOTHING
    if fit[0] <= 0.0 or math.isinf(taken[0]):
        return math.inf, math.nan, math.inf
    middle = taken[0] / fit[0]
    if not middle:
        return (spend.saleable,) * 3
    down = math.hypot(math.log(taken[0] / taken[1]), math.log(fit[2] / fit[0]))
    up = math.inf
    if fit[1] > 0.0 and math.isfinite(taken[2]):
        up = math.hypot(math.log(taken[2] / taken[0]), math.log(fit[0] / fit[1]))
    return (
        middle + spend.saleable,
        middle * math.exp(-down) + spend.saleable,
        middle * math.exp(up) + spend.saleable if math.isfinite(up) else math.inf,
    )
