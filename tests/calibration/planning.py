"""Does a plan keep what it claims? Twelve designs, fixed before the first run.

The power a plan claims is set beside trials drawn by another program (the trays of
``truths``), and its rate of false findings is counted where there is nothing to find.
"""

from __future__ import annotations

from dataclasses import dataclass

CORRELATIONS = (0.02, 0.05, 0.10, 0.20)


@dataclass(frozen=True)
class PlannedDesign:
    """A trial of a size that a plan may propose.

    ``take_a`` is the standard or the floor, ``take_b`` the new take or the only one;
    ``margin`` is that of no worse, or the half-width of an estimate.
    """

    question: str
    take_a: float
    take_b: float
    margin: float
    trays: int
    size: int


def planned_designs() -> list[PlannedDesign]:
    """The twelve designs; the list was committed before anything was run."""
    return [
        PlannedDesign("tell_apart", 0.80, 0.95, 0.0, 3, 40),
        PlannedDesign("tell_apart", 0.80, 0.95, 0.0, 5, 20),
        PlannedDesign("tell_apart", 0.70, 0.90, 0.0, 5, 40),
        PlannedDesign("tell_apart", 0.60, 0.90, 0.0, 4, 12),
        PlannedDesign("tell_apart", 0.85, 0.95, 0.0, 10, 20),
        PlannedDesign("tell_apart", 0.80, 0.90, 0.0, 20, 20),
        PlannedDesign("tell_apart", 0.90, 0.95, 0.0, 40, 24),
        PlannedDesign("no_worse", 0.90, 0.90, 0.10, 10, 24),
        PlannedDesign("no_worse", 0.85, 0.90, 0.15, 5, 40),
        PlannedDesign("above_floor", 0.70, 0.90, 0.0, 5, 20),
        PlannedDesign("above_floor", 0.80, 0.90, 0.0, 12, 30),
        PlannedDesign("estimate", 0.0, 0.90, 0.08, 10, 24),
    ]
