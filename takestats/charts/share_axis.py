"""Where on a part of the drawing does a share stand, and which places are marked below it?"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class ShareAxis:
    """An axis of shares that takes up a part of the width.

    Parameters
    ----------
    left, right : float
        Where the lowest share and 100 % stand, as parts of the width.
    low : float
        The lowest share.
    """

    left: float
    right: float
    low: float

    def place(self, value: float) -> float:
        """Where a share stands."""
        return self.left + (self.right - self.left) * (value - self.low) / (1.0 - self.low)

    @property
    def marks(self) -> list[float]:
        """Shares to mark below the axis, 100 % among them."""
        step = 0.1 if self.low >= 0.8 else (0.2 if self.low >= 0.4 else 0.5)
        count = int((1.0 - self.low) / step + 1e-9)
        return [1.0 - step * k for k in range(count, -1, -1) if 1.0 - step * k >= self.low - 1e-9]
