"""What is a plan, and what does it say of itself?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.planning.past import PastTrays
from takestats.planning.plan_looks import power_by_tray_size, power_by_trays
from takestats.planning.question import Question


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
    past : PastTrays or None
        Where the correlations come from; None where they are assumed.
    at_most_grafts : int or None
        Grafts of the whole trial that could be made at most.
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
    past: PastTrays | None = None
    at_most_grafts: int | None = None

    @property
    def set_aside(self) -> int:
        """Understocks (and as many scions) to set aside: the grafts and a spare tray of each."""
        return self.grafts + self.question.grafts(1)

    @cached_property
    def by_trays(self) -> DataFrame:
        """Power and width against trays, for a chart: icc, trays, grafts, power, width, trials."""
        return power_by_trays(self)

    @cached_property
    def by_tray_size(self) -> DataFrame:
        """Power against grafts in a tray at ``trays`` and half of them: tray_size, trays, power."""
        return power_by_tray_size(self)
