"""What can be asked of a fitted engine, whichever engine it is?

Answers speak of populations: patterns of the fitted columns, each with a
weight. An engine turns a population into an averaged take, two of them into a
difference or an odds ratio, always with limits.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

from takestats.models.tray_draws import TrayDraws

Pattern = tuple[str | float, ...]


@dataclass(frozen=True, eq=False, kw_only=True)
class Population:
    """Patterns of the fitted columns, with their weights.

    Parameters
    ----------
    columns : tuple of str
        The fitted columns: factors, then curves.
    weights : mapping of pattern to float
        A pattern has one value per column: a level, or a number on a curve.
    """

    columns: tuple[str, ...]
    weights: Mapping[Pattern, float]

    def set_to(self, levels: Mapping[str, str | float]) -> Population:
        """The same population, every pattern with these columns set to these values."""
        at = {self.columns.index(name): value for name, value in levels.items()}
        out: dict[Pattern, float] = {}
        for pattern, weight in self.weights.items():
            row = tuple(at.get(i, value) for i, value in enumerate(pattern))
            out[row] = out.get(row, 0.0) + weight
        return Population(columns=self.columns, weights=out)

    def without(self, columns: Iterable[str]) -> dict[Pattern, float]:
        """Weights by what is left of the patterns once these columns are dropped."""
        dropped = set(columns)
        keep = [i for i, name in enumerate(self.columns) if name not in dropped]
        out: dict[Pattern, float] = {}
        for pattern, weight in self.weights.items():
            row = tuple(pattern[i] for i in keep)
            out[row] = out.get(row, 0.0) + weight
        return out

    def shares(self) -> dict[Pattern, float]:
        """Weights that sum to 1, patterns of no weight left out."""
        total = sum(self.weights.values())
        return {row: weight / total for row, weight in self.weights.items() if weight > 0.0}


def single(columns: tuple[str, ...], pattern: Pattern) -> Population:
    """One pattern alone."""
    return Population(columns=columns, weights={pattern: 1.0})


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

    def missing(self, patterns: Iterable[Pattern]) -> set[Pattern]:
        """Those patterns that the records cannot speak of."""

    def take(self, population: Population, level: float) -> Estimate:
        """Average the take over a population."""

    def difference(self, a: Population, b: Population, level: float) -> Estimate:
        """Subtract the averaged take of population ``b`` from that of ``a``."""

    def log_odds_ratio(
        self, a: Population, b: Population, level: float, *, same_tray: bool
    ) -> Estimate:
        """Compare two populations by the log odds ratio of their takes."""

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Add and subtract the log odds of several averaged takes."""

    def spread(self, group: str | None, level: float) -> SpreadEstimate | None:
        """Intra-tray correlation of a level of the first factor, or of all trays."""

    def more_uneven(self, a: str, b: str) -> float:
        """Probability that trays of ``a`` differ more among themselves than those of ``b``."""

    def tray_draws(self, patterns: Sequence[Pattern]) -> TrayDraws | None:
        """Even draws behind each pattern; None where no trays were recorded."""

    @property
    def notes(self) -> tuple[str, ...]:
        """How it was worked out."""


@runtime_checkable
class ContrastBelief(Protocol):
    """A belief that can weigh several averaged takes against one another."""

    def take_contrast(self, signs: Sequence[tuple[float, Population]], level: float) -> Estimate:
        """Add and subtract several averaged takes, as a difference of two differences."""

    def log_odds_contrast(
        self, signs: Sequence[tuple[float, Population]], level: float
    ) -> Estimate:
        """Add and subtract the log odds of several averaged takes."""
