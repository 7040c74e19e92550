"""By how much do two plain counts of grafts differ?

Single binomials only: every graft counted as if it stood alone.
"""

from __future__ import annotations

import math
from typing import Literal

from scipy import special

from takestats.errors import CountsError
from takestats.interval import Interval, check_counts, check_level, wilson_limits
from takestats.models.crossing import crossing

DifferenceKind = Literal["newcombe", "miettinen_nurminen"]


def square_and_add(
    rate_a: float,
    limits_a: tuple[float, float],
    rate_b: float,
    limits_b: tuple[float, float],
) -> tuple[float, float]:
    """Limits of A minus B from the limits of each (Newcombe 1998, Stat Med 17:873, method 10)."""
    difference = rate_a - rate_b
    low = difference - math.hypot(rate_a - limits_a[0], limits_b[1] - rate_b)
    high = difference + math.hypot(limits_a[1] - rate_a, rate_b - limits_b[0])
    return max(-1.0, low), min(1.0, high)


def _restricted_rates(
    took_a: int, made_a: int, took_b: int, made_b: int, difference: float
) -> tuple[float, float]:
    """Most likely pair of rates with rate_a - rate_b = difference."""
    lowest = max(0.0, -difference)
    highest = min(1.0, 1.0 - difference)
    if highest - lowest < 1e-15:
        return lowest + difference, lowest

    def slope(rate_b: float) -> float:
        rate_a = rate_b + difference
        total = 0.0
        for took, made, rate in ((took_a, made_a, rate_a), (took_b, made_b, rate_b)):
            if took:
                total += took / rate if rate > 0.0 else math.inf
            if made - took:
                total -= (made - took) / (1.0 - rate) if rate < 1.0 else math.inf
        return total

    edge = 1e-14 * max(1.0, highest - lowest)
    if slope(lowest + edge) <= 0.0:
        rate_b = lowest
    elif slope(highest - edge) >= 0.0:
        rate_b = highest
    else:
        rate_b = crossing(slope, lowest + edge, highest - edge, within=1e-15)
    return rate_b + difference, rate_b


def _miettinen_nurminen(
    took_a: int, made_a: int, took_b: int, made_b: int, level: float
) -> tuple[float, float]:
    cut = float(special.ndtri(0.5 + level / 2.0))
    observed = took_a / made_a - took_b / made_b
    total = made_a + made_b

    def score(difference: float) -> float:
        rate_a, rate_b = _restricted_rates(took_a, made_a, took_b, made_b, difference)
        variance = rate_a * (1.0 - rate_a) / made_a + rate_b * (1.0 - rate_b) / made_b
        variance *= total / (total - 1.0)
        gap = observed - difference
        if variance <= 0.0:
            return math.copysign(math.inf, gap) if gap else 0.0
        return gap / math.sqrt(variance)

    edge = 1e-12
    low, high = -1.0, 1.0
    if observed > -1.0 and score(-1.0 + edge) > cut:
        low = crossing(lambda d: min(score(d), 1e9) - cut, -1.0 + edge, observed, within=1e-13)
    if observed < 1.0 and score(1.0 - edge) < -cut:
        high = crossing(lambda d: max(score(d), -1e9) + cut, observed, 1.0 - edge, within=1e-13)
    return low, high


def difference_interval(
    taken_a: int,
    grafted_a: int,
    taken_b: int,
    grafted_b: int,
    *,
    level: float = 0.95,
    kind: DifferenceKind = "newcombe",
) -> Interval:
    """Two lots of grafts: by how much does the take of A exceed that of B?

    Parameters
    ----------
    taken_a, grafted_a, taken_b, grafted_b : int
        Grafts that took and grafts made, of A and of B.
    level : float
        Confidence level.
    kind : {"newcombe", "miettinen_nurminen"}
        The limits.

    Returns
    -------
    Interval
        A minus B, as a difference of proportions.

    Raises
    ------
    CountsError
        For counts, level or kind that cannot be used.

    Notes
    -----
    Counts every graft as if it stood alone; where trays differ beyond chance
    the limits are too narrow. Miettinen-Nurminen limits find the restricted
    rates by solving the score equation itself, not by the cubic's closed form.

    References
    ----------
    Newcombe 1998, Stat Med 17:873-890 (method 10); Miettinen & Nurminen 1985,
    Stat Med 4:213-226.

    Examples
    --------
    >>> gap = difference_interval(56, 70, 48, 80)
    >>> f"{gap.estimate:.2f} {gap.low:.4f} {gap.high:.4f}"
    '0.20 0.0524 0.3339'
    """
    check_level(level)
    took_a, made_a = check_counts(taken_a, grafted_a, "taken_a, grafted_a")
    took_b, made_b = check_counts(taken_b, grafted_b, "taken_b, grafted_b")
    rate_a, rate_b = took_a / made_a, took_b / made_b
    if kind == "newcombe":
        cut = float(special.ndtri(0.5 + level / 2.0))
        low, high = square_and_add(
            rate_a,
            wilson_limits(rate_a, float(made_a), cut),
            rate_b,
            wilson_limits(rate_b, float(made_b), cut),
        )
        name = "Newcombe (square and add of Wilson limits)"
    elif kind == "miettinen_nurminen":
        low, high = _miettinen_nurminen(took_a, made_a, took_b, made_b, level)
        name = "Miettinen-Nurminen score"
    else:
        raise CountsError(
            where="kind",
            what=f"{kind!r}",
            rule="kind is newcombe or miettinen_nurminen",
            next_step="choose one of these",
        )
    return Interval(estimate=rate_a - rate_b, low=low, high=high, level=level, method=name)
