"""Where does a curve cross zero?"""

from __future__ import annotations

from collections.abc import Callable


def crossing(
    curve: Callable[[float], float], low: float, high: float, *, within: float = 2e-12
) -> float:
    """Where a curve crosses zero between two places where it stands on either side of it.

    Examples
    --------
    >>> abs(crossing(lambda x: x * x - 4.0, 0.0, 5.0) - 2.0) < 1e-11
    True
    """
    from scipy.optimize import brentq  # slow to load, and a season page seldom needs it

    return float(brentq(curve, low, high, xtol=within))
