"""What can be asked of a fitted engine, whichever engine it is?

Answers speak of populations: patterns of the fitted columns, each with a
weight. An engine turns a population into an averaged take, two of them into a
difference or an odds ratio, always with limits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from pandas import DataFrame

WEIGHT = "weight"


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A posterior median (or a closed-form estimate) with limits.

    Parameters
    ----------
    estimate, low, high : float
    p_value : float
        Two-sided tail area of zero; nan where none is asked for.
    """

    estimate: float
    low: float
    high: float
    p_value: float = float("nan")


@dataclass(frozen=True, kw_only=True)
class SpreadEstimate:
    """An intra-tray correlation with limits.

    Parameters
    ----------
    estimate, low, high : float
    """

    estimate: float
    low: float
    high: float


class Belief(Protocol):
    """What an engine holds after it has seen the trays."""

    def missing(self, patterns: DataFrame) -> list[str]:
        """Name the patterns that the records cannot speak of."""

    def take(self, patterns: DataFrame, level: float) -> Estimate:
        """Average the take over a population."""

    def difference(self, a: DataFrame, b: DataFrame, level: float) -> Estimate:
        """Subtract the averaged take of population ``b`` from that of ``a``."""

    def log_odds_ratio(
        self, a: DataFrame, b: DataFrame, level: float, *, same_tray: bool
    ) -> Estimate:
        """Compare two populations by the log odds ratio of their takes."""

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """Intra-tray correlation of a level of the first factor, or of all trays."""

    def more_uneven(self, a: str, b: str) -> float:
        """Probability that trays of ``a`` differ more among themselves than those of ``b``."""

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""
