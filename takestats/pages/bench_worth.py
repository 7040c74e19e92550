"""Which takes are lower than is worth having, by the floor of the settings or by the costs?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from takestats.pages.rows import overall_take, takes_of
from takestats.wording.bench_trays import floor_line, pays_line

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
    if found.costs is not None:
        row = found.costs.table.iloc[0]
        paying = float(row["break_even_take"])
        if not math.isnan(paying):
            under = [take for take in takes if take.rate < paying]
            assumed = bool(found.costs.plan.assumed)
            said.append(pays_line(paying, under, assumed, float(row["saleable_share"])))
    return said


def _takes_to_judge(found: Gathered) -> list[Take]:
    """Takes of the combinations; where these are not compared, of the main factor."""
    for factor in ("combination", found.main):
        if factor in found.rates:
            return takes_of(found.rates[factor], factor)
    return [overall_take(found.overall)]
