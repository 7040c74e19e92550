"""Which question does a trial ask, and when has it been answered?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["tell_apart", "no_worse", "above_floor", "estimate"]
Basis = Literal["tray_model", "normal", "arcsine", "exact"]


@dataclass(frozen=True, kw_only=True)
class Question:
    """What a trial asks, without its size.

    Parameters
    ----------
    kind : {"tell_apart", "no_worse", "above_floor", "estimate"}
    take_a, take_b : float
        The takes that are assumed. ``take_a`` is the standard, or the floor;
        ``take_b`` the new take, or the only one.
    margin : float
        Of no worse; the half-width of an estimate.
    tray_size : int
        Grafts in a tray, of both methods together when both are in it.
    arms : int
        Methods or combinations, the standard among them.
    within_trays : bool
        Both methods in each tray.
    level : float
        Of the interval that decides.
    """

    kind: Kind
    take_a: float
    take_b: float
    tray_size: int
    margin: float = 0.0
    arms: int = 2
    within_trays: bool = False
    level: float = 0.95

    @property
    def one_arm(self) -> bool:
        """Whether one take is looked at by itself."""
        return self.kind in ("above_floor", "estimate")

    @property
    def takes(self) -> tuple[float, ...]:
        """The takes that trays are drawn from."""
        return (self.take_b,) if self.one_arm else (self.take_a, self.take_b)

    @property
    def tail(self) -> float:
        """Share that may lie beyond the limit that decides.

        Several methods against one standard: the first step of Holm's rule for
        so many comparisons, the hardest.
        """
        return (1.0 - self.level) / 2.0 / max(1, self.arms - 1)

    @property
    def sizes(self) -> tuple[int, ...]:
        """Grafts of each arm in one tray."""
        if self.within_trays:
            return (self.tray_size - self.tray_size // 2, self.tray_size // 2)
        return (self.tray_size,) * len(self.takes)

    def grafts(self, trays: int) -> int:
        """Grafts of the whole trial."""
        if self.one_arm or self.within_trays:
            return trays * self.tray_size
        return self.arms * trays * self.tray_size

    def most_trays(self, grafts: int) -> int:
        """Trays (of each arm) that so many grafts fill."""
        return grafts // self.grafts(1)
