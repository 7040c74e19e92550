"""What interval does a plain count of grafts give?

Single binomials only: every graft counted as if it stood alone. Trays differ
beyond chance, so a season is judged with the tray model
(:func:`takestats.fit_take`); these limits are for one tray, or for records
that have none.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from scipy import special

from takestats.errors import CountsError

SingleKind = Literal["wilson", "exact", "jeffreys"]


@dataclass(frozen=True, kw_only=True)
class Interval:
    """A number with its limits.

    Parameters
    ----------
    estimate, low, high : float
        Proportions (0.91, not 91), or a difference or correlation.
    level : float
        The confidence level, 0.95 by default.
    method : str
        How the limits were made.

    Examples
    --------
    >>> Interval(estimate=0.9, low=0.8, high=0.95, level=0.95, method="Wilson score").low
    0.8
    """

    estimate: float
    low: float
    high: float
    level: float
    method: str


def _number(value: Any) -> float:
    """The value as a number; nan when it is none."""
    if isinstance(value, (str, bytes, bool)):
        return math.nan
    try:
        return float(value)
    except (TypeError, ValueError):
        return math.nan


def check_level(level: float) -> float:
    """Give the level back, or say why it cannot be used.

    Raises
    ------
    CountsError
        When the level is not strictly between 0 and 1.
    """
    if not 0.0 < _number(level) < 1.0:
        meant = 1.0 < _number(level) < 100.0
        raise CountsError(
            where="level",
            what=f"{level!r}",
            rule="a confidence level lies between 0 and 1",
            next_step=f"did you mean {level / 100}?" if meant else "write 0.95 for 95 %",
        )
    return float(level)


def check_counts(taken: float, grafted: float, where: str = "taken, grafted") -> tuple[int, int]:
    """Give the two counts back as whole numbers, or say why they cannot be used.

    Raises
    ------
    CountsError
        When a count is no whole number, ``grafted`` is below 1, or ``taken``
        lies outside 0 to ``grafted``.
    """
    for name, value in (("taken", taken), ("grafted", grafted)):
        number = _number(value)
        if not math.isfinite(number) or number != math.floor(number):
            raise CountsError(
                where=where,
                what=f"{name} is {value!r}",
                rule="counts are whole numbers",
                next_step="give the number of grafts, not a percent",
            )
    if grafted < 1 or not 0 <= taken <= grafted:
        raise CountsError(
            where=where,
            what=f"taken {taken}, grafted {grafted}",
            rule="at least one graft was made, and no more took than were made",
            next_step="check the two counts",
        )
    return int(taken), int(grafted)


def _wilson(taken: int, grafted: int, level: float) -> tuple[float, float]:
    return wilson_limits(taken / grafted, float(grafted), special.ndtri(0.5 + level / 2.0))


def wilson_limits(rate: float, number: float, quantile: float) -> tuple[float, float]:
    """Score limits of a rate out of ``number`` grafts (which may be an effective number).

    Wilson 1927, J Am Stat Assoc 22:209; formula as in Newcombe 1998, Stat Med
    17:857, method 3.
    """
    z2 = quantile * quantile
    middle = 2.0 * number * rate + z2
    spread = quantile * math.sqrt(z2 + 4.0 * number * rate * (1.0 - rate))
    bottom = 2.0 * (number + z2)
    low = 0.0 if rate <= 0.0 else max(0.0, (middle - spread) / bottom)
    high = 1.0 if rate >= 1.0 else min(1.0, (middle + spread) / bottom)
    return low, high


def _exact(taken: int, grafted: int, level: float) -> tuple[float, float]:
    tail = (1.0 - level) / 2.0
    low = 0.0 if taken == 0 else float(special.betaincinv(taken, grafted - taken + 1, tail))
    high = (
        1.0
        if taken == grafted
        else float(special.betaincinv(taken + 1, grafted - taken, 1.0 - tail))
    )
    return low, high


def _jeffreys(taken: int, grafted: int, level: float) -> tuple[float, float]:
    tail = (1.0 - level) / 2.0
    a, b = taken + 0.5, grafted - taken + 0.5
    low = 0.0 if taken == 0 else float(special.betaincinv(a, b, tail))
    high = 1.0 if taken == grafted else float(special.betaincinv(a, b, 1.0 - tail))
    return low, high


_SINGLE: dict[str, tuple[Callable[[int, int, float], tuple[float, float]], str]] = {
    "wilson": (_wilson, "Wilson score"),
    "exact": (_exact, "exact (Clopper-Pearson)"),
    "jeffreys": (_jeffreys, "Jeffreys, with end points 0 and 1"),
}


def take_interval(
    taken: int, grafted: int, *, level: float = 0.95, kind: SingleKind = "wilson"
) -> Interval:
    """Of these grafts so many took: between what limits does the take lie?

    Parameters
    ----------
    taken, grafted : int
        Grafts that took, grafts made.
    level : float
        Confidence level.
    kind : {"wilson", "exact", "jeffreys"}
        The limits.

    Returns
    -------
    Interval
        Proportions.

    Raises
    ------
    CountsError
        For counts, level or kind that cannot be used.

    Notes
    -----
    Counts every graft as if it stood alone. Where trays differ beyond chance
    the limits are too narrow; use :func:`takestats.fit_take` then.

    References
    ----------
    Newcombe 1998, Stat Med 17:857-872 (methods 3 and 5); Brown, Cai & DasGupta
    2001, Stat Sci 16:101-133, section 4.1.1 (Jeffreys end points).

    Examples
    --------
    >>> limits = take_interval(140, 142)
    >>> f"{limits.low:.3f} {limits.high:.3f}"
    '0.950 0.996'
    """
    if kind not in _SINGLE:
        raise CountsError(
            where="kind",
            what=f"{kind!r}",
            rule=f"kind is one of {', '.join(_SINGLE)}",
            next_step="choose one of these",
        )
    took, made = check_counts(taken, grafted)
    limits, name = _SINGLE[kind]
    low, high = limits(took, made, check_level(level))
    return Interval(estimate=took / made, low=low, high=high, level=level, method=name)
