"""What do exact counts say of a trial's size, every graft standing alone?

Binomial and Fisher's test by enumeration: the textbook answers where no trays
are looked at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

Floats = NDArray[np.float64]

_SAME = 1e-7


@dataclass(frozen=True, kw_only=True)
class ExactTest:
    """One-sided exact test of a take against a floor.

    Parameters
    ----------
    grafts, at_least : int
        So many grafts; the floor is exceeded when at least so many take.
    size, power : float
        Chance of saying so at the floor, and at the take that is hoped for.
    """

    grafts: int
    at_least: int
    size: float
    power: float


def exact_test(floor: float, take: float, grafts: int, alpha: float) -> ExactTest:
    """The exact test of so many grafts.

    Examples
    --------
    >>> exact_test(0.5, 0.7, 37, 0.05).at_least
    24
    """
    counts = np.arange(grafts + 2)
    at_floor = stats.binom.sf(counts - 1, grafts, floor)
    least = int(np.argmax(at_floor <= alpha))
    return ExactTest(
        grafts=grafts,
        at_least=least,
        size=float(at_floor[least]),
        power=float(stats.binom.sf(least - 1, grafts, take)),
    )


def exact_sizes(
    floor: float, take: float, alpha: float, power: float, most: int
) -> tuple[ExactTest, ExactTest] | None:
    """The first number of grafts with this power, and the first from which it is kept.

    Power saws up and down with the number of grafts: one graft more can cost
    power. None when ``most`` grafts do not reach it.
    """
    tests = [exact_test(floor, take, n, alpha) for n in range(1, most + 1)]
    good = [t.power >= power for t in tests]
    if not any(good):
        return None
    first = tests[good.index(True)]
    if not good[-1]:
        return first, first
    last_bad = len(good) - 1 - good[::-1].index(False) if False in good else -1
    return first, tests[last_bad + 1]


def size_with_failures(take: float, confidence: float, failures: int) -> int:
    """Grafts of which no more than so many may fail before this take is shown.

    Examples
    --------
    >>> size_with_failures(0.9, 0.95, 0), size_with_failures(0.9, 0.95, 1)
    (29, 46)
    """
    grafts = failures + 1
    while stats.binom.cdf(failures, grafts, 1.0 - take) > 1.0 - confidence:
        grafts += 1
    return grafts


def fisher_power(take_a: float, grafts_a: int, take_b: float, grafts_b: int, level: float) -> float:
    """Chance that Fisher's two-sided test tells two takes apart, by enumeration.

    Examples
    --------
    >>> f"{fisher_power(0.8, 20, 0.4, 20, 0.95):.5f}"
    '0.65022'
    """
    counts_a, counts_b = np.arange(grafts_a + 1), np.arange(grafts_b + 1)
    chance_a = stats.binom.pmf(counts_a, grafts_a, take_a)
    chance_b = stats.binom.pmf(counts_b, grafts_b, take_b)
    found = 0.0
    for total in range(grafts_a + grafts_b + 1):
        k = np.arange(max(0, total - grafts_b), min(grafts_a, total) + 1)
        mass = stats.hypergeom.pmf(k, grafts_a + grafts_b, total, grafts_a)
        order = np.argsort(mass)
        below = np.cumsum(mass[order])
        # Ties in probability count as equal: the two-sided p is all that is no likelier.
        last = np.searchsorted(mass[order], mass * (1.0 + _SAME), side="right") - 1
        rejected = below[last] <= 1.0 - level
        found += float(np.sum(chance_a[k[rejected]] * chance_b[total - k[rejected]]))
    return found


def fisher_size(
    take_a: float, take_b: float, level: float, power: float, start: int, most: int
) -> tuple[int, float] | None:
    """The first number of grafts an arm with this power, from ``start`` on; None past ``most``."""
    for grafts in range(max(2, start), most + 1):
        found = fisher_power(take_a, grafts, take_b, grafts, level)
        if found >= power:
            return grafts, found
    return None
