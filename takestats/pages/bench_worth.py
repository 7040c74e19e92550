"""Which takes are lower than is worth having, by the floor of the settings or by the costs?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from takestats.answers.costs import break_even_take
from takestats.answers.spending import plan_of
from takestats.pages.rows import overall_take, takes_of
from takestats.wording.bench_trays import break_even_line, floor_line

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered
    from takestats.wording.charts import Take


def below_what_pays(found: Gathered) -> list[str | None]:
    """What takes less than is worth having: by the floor of the settings, by the costs."""
    takes = _takes_to_judge(found)
    floor = found.asked.floor
    said: list[str | None] = []
    if floor is not None:
        said.append(floor_line(floor, [take for take in takes if take.rate < floor]))
    plan = plan_of(found.records.trial)
    kept = _saleable_share(found)
    paying = break_even_take(plan, kept, lines=found.whole.lines)
    if plan is not None and paying is not None:
        under = [take for take in takes if take.rate < paying]
        said.append(break_even_line(paying, under, bool(plan.assumed), kept))
    return said


def _takes_to_judge(found: Gathered) -> list[Take]:
    """Takes of the combinations; where these are not compared, of the main factor."""
    for factor in ("combination", found.main):
        if factor in found.rates:
            return takes_of(found.rates[factor], factor)
    return [overall_take(found.overall)]


def _saleable_share(found: Gathered) -> float:
    """Saleable plants out of the grafts that took, in the trays that were graded."""
    trays = found.trays
    if "saleable" not in trays:
        return math.nan
    graded = trays[trays["saleable"].notna()]
    taken = float(graded["taken"].sum())
    return float(graded["saleable"].sum()) / taken if taken > 0.0 else math.nan
