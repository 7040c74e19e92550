"""What is a plan, and what does it say of itself?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.planning.power import feel_trials, simulated_power
from takestats.planning.power_grid import power_grid
from takestats.planning.question import Question

_STEPS = 7
_REACH = 1.6
_SIZES = 7_000


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayPlan(TableResult):
    """How many trays, for which power, by which rule.

    ``table``: one row per intra-tray correlation: icc, take_a, take_b, trays (of
    each arm; of the trial where both methods share trays), grafts (of the whole
    trial), power, width (median, of the interval), assurance, false_positive (at
    ``trays`` of the plan), reached. Proportions. An estimate's and a floor's take
    is ``take_a``.

    Parameters
    ----------
    question : Question
    trays, grafts : int
        Of the worst row.
    power : float
        Of the worst row.
    power_wanted : float
    icc : float
        Of the worst row.
    basis : str
    rule : str
        By which the trial will be read.
    reached : bool
        False when the grafts that were allowed do not reach the power.
    can_tell : float or None
        With limited grafts: the take (or margin) they can deal with.
    false_positive_rate : float
        The highest of the table.
    unequal : DataFrame
        icc_a, icc_b, trays, power: one arm's trays more uneven than the other's.
    seed : int
    """

    question: Question
    trays: int
    grafts: int
    power: float
    power_wanted: float
    icc: float
    basis: str
    rule: str
    reached: bool
    can_tell: float | None
    false_positive_rate: float
    unequal: DataFrame
    seed: int

    @property
    def set_aside(self) -> int:
        """Understocks (and as many scions) to set aside: the grafts and a spare tray of each."""
        return self.grafts + self.question.grafts(1)

    @cached_property
    def by_trays(self) -> DataFrame:
        """Power and width against trays, for a chart: icc, trays, grafts, power, width, trials."""
        if self.basis != "tray_model":
            return DataFrame(columns=["icc", "trays", "grafts", "power", "width", "trials"])
        top = max(4.0, _REACH * self.trays)
        counts = {self.trays, 2}
        counts |= {round(2.0 * (top / 2.0) ** (i / (_STEPS - 1))) for i in range(_STEPS)}
        return power_grid(
            self.question, self._table["icc"].tolist(), sorted(counts), seed=self.seed
        )

    @cached_property
    def by_tray_size(self) -> DataFrame:
        """Power against grafts in a tray at ``trays`` and half of them: tray_size, trays, power."""
        columns = ["icc", "tray_size", "trays", "grafts", "power"]
        if self.basis != "tray_model":
            return DataFrame(columns=columns)
        own = self.question.tray_size
        least = 2 if self.question.within_trays else 1
        sizes = sorted({max(least, own // 4), max(least, own // 2), own, 2 * own, 4 * own})
        rows = []
        for trays in sorted({max(2, self.trays // 2), self.trays}):
            for size in sizes:
                asked = replace(self.question, tray_size=size)
                found = simulated_power(
                    asked,
                    trays,
                    (self.icc,),
                    trials=feel_trials(asked),
                    seed=self.seed,
                    stream=_SIZES,
                )
                rows.append(
                    dict(
                        zip(
                            columns,
                            (self.icc, size, trays, asked.grafts(trays), found.power),
                            strict=True,
                        )
                    )
                )
        return DataFrame(rows)
