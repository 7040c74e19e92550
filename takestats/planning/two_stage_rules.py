"""Which two-stage rule asks the fewest grafts? Exact, over every rule there is.

First so many grafts; drop the combination when no more than a few take; else
graft the rest, and give it up when no more than a number take in all.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import special

from takestats.planning.simulated import middle_tray, shared_sigma

Floats = NDArray[np.float64]
Objective = Literal["least_expected", "least_total"]

TRUTHS = ("beta-binomial", "logit-normal")
_NODES = 61
_SLACK = 1e-12
_LONGEST = 1.6


@dataclass(frozen=True, kw_only=True)
class TwoStageRule:
    """A rule in two stages, in grafts.

    Parameters
    ----------
    first, total : int
        Grafts of the first stage, and of both.
    drop_at_or_below, fail_at_or_below : int
        Taken of the first stage, and of both.
    size, power : float
        Chance of keeping it at the floor, and at the promising take.
    stops_early : float
        Chance, at the floor, of dropping it after the first stage.
    stops_promising : float
        The same at the promising take.
    expected : float
        Grafts to be expected at the floor.
    """

    first: int
    total: int
    drop_at_or_below: int
    fail_at_or_below: int
    size: float
    power: float
    stops_early: float
    stops_promising: float
    expected: float


def binomial_chances(take: float, step: int) -> Callable[[int], Floats]:
    """Chances of every count after so many steps of ``step`` grafts, every graft by itself."""
    from scipy import stats  # slow to load; a season page need not wait for it

    @lru_cache(maxsize=4096)
    def chances(steps: int) -> Floats:
        return np.asarray(stats.binom.pmf(np.arange(steps * step + 1), steps * step, take))

    return chances


def tray_chances(take: float, icc: float, tray_size: int, truth: str) -> Callable[[int], Floats]:
    """Chances of every count in so many trays.

    Parameters
    ----------
    take, icc : float
    tray_size : int
    truth : {"beta-binomial", "logit-normal"}
    """
    from scipy import stats

    k = np.arange(tray_size + 1.0)
    if truth == "beta-binomial":
        whole = (1.0 - icc) / icc
        one = stats.betabinom.pmf(k, tray_size, take * whole, (1.0 - take) * whole)
    else:
        sigma = shared_sigma((take,), icc)
        z, weight = np.polynomial.hermite_e.hermegauss(_NODES)
        tray = special.expit(middle_tray(take, sigma) + sigma * z)
        one = stats.binom.pmf(k[:, None], tray_size, tray) @ (weight / weight.sum())

    @lru_cache(maxsize=512)
    def chances(trays: int) -> Floats:
        if trays == 0:
            return np.ones(1)
        return np.asarray(np.convolve(chances(trays - 1), one))

    return chances


class _Stages:
    """Chances of both stages under one truth, for every rule of given steps."""

    def __init__(self, chances: Callable[[int], Floats]) -> None:
        self._chances = chances

    def first(self, steps: int) -> Floats:
        """Chance of every count of the first stage."""
        return self._chances(steps)

    def kept(self, steps: int, total: int) -> Floats:
        """Chance of being kept, shape (drop counts + 1, fail counts + 1)."""
        first, second = self._chances(steps), self._chances(total - steps)
        above = np.concatenate([np.cumsum(second[::-1])[::-1], [0.0]])
        taken = np.arange(first.size)[:, None]
        more = np.arange(first.size + second.size - 1)[None, :] - taken + 1
        joint = first[:, None] * above[np.clip(more, 0, second.size)]
        below = np.cumsum(joint[::-1], axis=0)[::-1]
        # Row r: counts of the first stage above r.
        return np.concatenate([below[1:], np.zeros((1, below.shape[1]))])


def _best_of(
    floor: list[_Stages],
    promising: list[_Stages],
    steps: int,
    total: int,
    step: int,
    limits: tuple[float, float],
    bar: float,
) -> TwoStageRule | None:
    """The rule of these steps with the fewest expected grafts, under the bar."""
    alpha, power = limits
    mean_first = np.mean([s.first(steps) for s in floor], axis=0)
    early = np.cumsum(mean_first)
    expected = steps * step + (1.0 - early) * (total - steps) * step
    early_good = np.cumsum(np.mean([s.first(steps) for s in promising], axis=0))
    allowed = (early_good <= 1.0 - power + _SLACK) & (expected < bar - 1e-9)
    if not allowed.any():
        return None
    size = np.mean([s.kept(steps, total) for s in floor], axis=0)
    good = np.mean([s.kept(steps, total) for s in promising], axis=0)
    fits = (size <= alpha + _SLACK) & (good >= power - _SLACK) & allowed[:, None]
    rows = np.flatnonzero(fits.any(axis=1))
    if not rows.size:
        return None
    row = int(rows[np.argmin(expected[rows])])
    column = int(np.argmax(fits[row]))
    return TwoStageRule(
        first=steps * step,
        total=total * step,
        drop_at_or_below=row,
        fail_at_or_below=column,
        size=float(size[row, column]),
        power=float(good[row, column]),
        stops_early=float(early[row]),
        stops_promising=float(early_good[row]),
        expected=float(expected[row]),
    )


def best_rule(
    floor: list[Callable[[int], Floats]],
    promising: list[Callable[[int], Floats]],
    step: int,
    alpha: float,
    power: float,
    objective: Objective,
    most: int,
) -> TwoStageRule | None:
    """Search every rule.

    Parameters
    ----------
    floor, promising : list of callable
        Chances of every count after so many steps, one for each truth; averaged.
    step : int
        Grafts of a step: 1, or a tray.
    alpha, power : float
    objective : {"least_expected", "least_total"}
        Fewest grafts to be expected at the floor; or fewest in all, and of those the
        fewest to be expected.
    most : int
        Steps in all that are looked at.

    Returns
    -------
    TwoStageRule or None
        None when ``most`` steps do not do.

    Notes
    -----
    For each number of grafts of both stages the rule keeps the smallest second
    number that holds ``alpha``: Simon 1989, Control Clin Trials 10:1-10, section 2.
    """
    low, high = [_Stages(c) for c in floor], [_Stages(c) for c in promising]
    best: TwoStageRule | None = None
    last = most
    for total in range(2, most + 1):
        if total > last:
            break
        for steps in range(1, total):
            bar = best.expected if best is not None else float("inf")
            if steps * step >= bar:
                break
            found = _best_of(low, high, steps, total, step, (alpha, power), bar)
            if found is not None:
                best = found
        if best is None:
            continue
        if objective == "least_total":
            return best
        if last == most:
            # The second stage only grows from here on: none of Simon's tables is longer.
            last = min(most, math.ceil(_LONGEST * total) + 2)
    return best


def kept_chance(
    take: float, icc: float, tray_size: int | None, rule: tuple[int, int, int, int]
) -> float:
    """Chance that a combination of this take is kept.

    Parameters
    ----------
    take, icc : float
    tray_size : int or None
    rule : (first, drop at or below, total, fail at or below)
        In grafts.
    """
    first, drop, total, fail = rule
    step = tray_size or 1
    if tray_size is None:
        chances = [binomial_chances(take, 1)]
    else:
        chances = [tray_chances(take, icc, tray_size, truth) for truth in TRUTHS]
    found = [_Stages(c).kept(first // step, total // step)[drop, fail] for c in chances]
    return float(np.mean(found))
