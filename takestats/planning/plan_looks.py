"""Around a plan: how does power grow with trays, and with grafts in a tray?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd
from pandas import DataFrame
from scipy import stats

from takestats.planning.power import confirm_trials, feel_trials, simulated_power
from takestats.planning.power_grid import power_grid
from takestats.wording import plan_steps as steps

if TYPE_CHECKING:
    from collections.abc import Callable

    from takestats.planning.tray_plan import TrayPlan

#: A chart needs fewer trials than a plan, and tells how far they may be off.
TRIALS = 600
_STEPS, _PAIRED_STEPS = 6, 5
_SAID_EVERY = 8
_REACH = 1.5
_SIZES_STREAM = 7_000
_TRAYS_COLUMNS = ["icc", "trays", "grafts", "power", "width", "trials"]
_SIZES_COLUMNS = ["icc", "tray_size", "trays", "grafts", "power", "trials"]


def look_trials(plan: TrayPlan) -> int:
    """Simulated trials of each point around the plan."""
    return min(TRIALS, feel_trials(plan.question))


def power_by_trays(plan: TrayPlan, progress: Callable[[str], None] | None = None) -> DataFrame:
    """How do power and the width of the interval change with the number of trays?

    Parameters
    ----------
    plan : TrayPlan
    progress : callable, optional
        Told in a few words how far it is.

    Returns
    -------
    DataFrame
        icc, trays, grafts, power, width, trials; from 2 trays to half as many again as
        planned. Where the plan itself was confirmed, its own numbers stand. No row for a textbook
        basis.
    """
    if plan.basis != "tray_model":
        return DataFrame(columns=_TRAYS_COLUMNS)
    known = plan.table
    known["trials"] = confirm_trials(plan.question)
    top = max(4.0, _REACH * plan.trays)
    counts = {2, plan.trays}
    iccs = known["icc"].tolist()
    count = _STEPS
    if plan.question.within_trays:
        # Judged more slowly, and the correlation hardly matters: its ends are enough.
        iccs, count = [x for x in iccs if x in (min(iccs), max(iccs), plan.icc)], _PAIRED_STEPS
    counts |= {round(2.0 * (top / 2.0) ** (i / (count - 1))) for i in range(count)}

    def told(done: int, total: int) -> None:
        if progress is not None and done % _SAID_EVERY == 1:
            progress(steps.by_trays(done, total))

    grid = power_grid(
        plan.question,
        iccs,
        sorted(counts),
        trials=look_trials(plan),
        seed=plan.seed,
        progress=told,
    )
    confirmed = known[known["icc"].isin(iccs)][_TRAYS_COLUMNS]
    both = pd.concat([confirmed, grid], ignore_index=True)
    first = both.drop_duplicates(["icc", "trays"], keep="first")
    return first.sort_values(["icc", "trays"], ignore_index=True)


def power_by_tray_size(plan: TrayPlan, progress: Callable[[str], None] | None = None) -> DataFrame:
    """What would smaller or larger trays do, with as many trays and with half of them?

    Parameters
    ----------
    plan : TrayPlan
    progress : callable, optional
        Told in a few words how far it is.

    Returns
    -------
    DataFrame
        icc, tray_size, trays, grafts, power, trials, at the worst correlation of the plan. No row
        for a textbook basis.
    """
    if plan.basis != "tray_model":
        return DataFrame(columns=_SIZES_COLUMNS)
    question = plan.question
    own = question.tray_size
    least = 2 if question.within_trays else 1
    sizes = sorted({max(least, own // 4), max(least, own // 2), own, 2 * own, 4 * own})
    points = [(n, size) for n in sorted({max(2, plan.trays // 2), plan.trays}) for size in sizes]
    trials = look_trials(plan)
    rows = []
    for done, (trays, size) in enumerate(points, start=1):
        asked = replace(question, tray_size=size)
        power, behind = plan.power, confirm_trials(question)
        if (trays, size) != (plan.trays, own):
            behind = trials
            power = simulated_power(
                asked, trays, (plan.icc,), trials=trials, seed=plan.seed, stream=_SIZES_STREAM
            ).power
        rows.append((plan.icc, size, trays, asked.grafts(trays), power, behind))
        if progress is not None and done % _SAID_EVERY == 1:
            progress(steps.by_tray_size(done, len(points)))
    return DataFrame(rows, columns=_SIZES_COLUMNS)


def usual_counts(take: float, icc: float, tray_size: int) -> tuple[int, int]:
    """Between which counts do nine trays in ten lie, when trays differ by so much?

    Parameters
    ----------
    take, icc : float
    tray_size : int
        Grafts in a tray.

    Returns
    -------
    tuple of int
        The 5 % and the 95 % point of the taken grafts of one tray, beta-binomial (binomial where
        trays are alike).

    Examples
    --------
    >>> usual_counts(0.9, 0.0, 30), usual_counts(0.9, 0.2, 30)
    ((24, 29), (18, 30))
    """
    tails = np.array([0.05, 0.95])
    if icc <= 0.0 or not 0.0 < take < 1.0:
        low, high = stats.binom.ppf(tails, tray_size, take)
    else:
        whole = 1.0 / icc - 1.0
        low, high = stats.betabinom.ppf(tails, tray_size, take * whole, (1.0 - take) * whole)
    return int(low), int(high)
