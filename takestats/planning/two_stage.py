"""Scion wood is scarce: when may a first small batch stop the trial?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from pandas import DataFrame

from takestats.errors import CountsError, DesignError
from takestats.models.result import TableResult
from takestats.planning.checks import (
    check_above,
    check_iccs,
    check_power,
    check_share,
    check_tray_size,
)
from takestats.planning.closed_forms import design_effect, floor_size
from takestats.planning.two_stage_rules import (
    TRUTHS,
    Objective,
    TwoStageRule,
    best_rule,
    binomial_chances,
    tray_chances,
)
from takestats.wording import two_stage as words

_MOST_GRAFTS, _MOST_TRAYS = 260, 120
_MOST_COUNTS = 1800


@dataclass(frozen=True, eq=False, kw_only=True)
class TwoStage(TableResult):
    """A rule in two stages.

    ``table``: one row for the floor and one for the promising take: take, dropped
    (chance of stopping after the first stage), kept (chance of keeping it in the
    end), expected_grafts. Proportions and grafts.

    Parameters
    ----------
    first, total : int
        Grafts of the first stage, and of both.
    drop_at_or_below : int
        Stop when no more than so many of the first stage take.
    fail_at_or_below : int
        Give up when no more than so many of all take.
    size, power : float
        Chance of keeping a combination whose take is the floor, and the promising one.
    stops_early : float
        Chance that one at the floor is dropped after the first stage.
    expected_grafts : float
        Grafts to be expected when its take is the floor.
    floor, promising, icc : float
    tray_size : int or None
        None: grafts by themselves.
    """

    first: int
    drop_at_or_below: int
    total: int
    fail_at_or_below: int
    size: float
    power: float
    stops_early: float
    expected_grafts: float
    floor: float
    promising: float
    icc: float
    tray_size: int | None

    @property
    def first_trays(self) -> int | None:
        """Trays of the first stage; None where grafts stand by themselves."""
        return None if self.tray_size is None else self.first // self.tray_size

    @property
    def total_trays(self) -> int | None:
        """Trays of both stages; None where grafts stand by themselves."""
        return None if self.tray_size is None else self.total // self.tray_size


def two_stage(
    floor: float,
    promising: float,
    *,
    alpha: float = 0.05,
    power: float = 0.8,
    objective: Objective = "least_expected",
    icc: float = 0,
    tray_size: int | None = None,
) -> TwoStage:
    """Scion wood is scarce: graft a few first, and when may I stop?

    Parameters
    ----------
    floor : float
        A take that is not worth having, a proportion.
    promising : float
        A take that would be.
    alpha : float
        Chance, at the most, of keeping a combination whose take is the floor.
    power : float
        Chance, at the least, of keeping one whose take is the promising one.
    objective : {"least_expected", "least_total"}
        Fewest grafts to be expected when it is no good; or fewest in all.
    icc : float
        How much trays differ (intra-tray correlation); above 0 with ``tray_size``.
    tray_size : int, optional
        Grafts in a tray: with ``icc`` above 0 both stages are whole trays.

    Returns
    -------
    TwoStage
        ``first``, ``drop_at_or_below``, ``total``, ``fail_at_or_below``, ``size``, ``power``,
        ``stops_early``, ``expected_grafts``.

    Raises
    ------
    CountsError
        For a take outside 0 to 1, a tray of 0 grafts, an unknown objective and the like.
    DesignError
        For a floor above the promising take; when 260 grafts (120 trays) do not do.

    Notes
    -----
    Exact, over every rule. With trays that differ the chances are exact for beta-binomial and
    for logit-normal trays and the rule holds on the average of both. The count of either stage is
    the settled one: a first count is not final.

    References
    ----------
    Simon 1989, Control Clin Trials 10:1-10; "least_total" is his minimax rule.

    Examples
    --------
    >>> rule = two_stage(0.7, 0.9)
    >>> rule.drop_at_or_below, rule.first, rule.fail_at_or_below, rule.total
    (4, 6, 22, 27)
    """
    low = check_share("floor", floor, inside=True)
    high = check_share("promising", promising, inside=True)
    check_above(low, high, "floor, promising", "promising take")
    sure = check_share("alpha", alpha, inside=True)
    wanted = check_power(power, sure)
    if objective not in ("least_expected", "least_total"):
        raise CountsError(
            where="objective",
            what=f"{objective!r}",
            rule="objective is least_expected or least_total",
            next_step="choose one of these",
        )
    (spread,) = check_iccs([icc])
    if spread > 0.0 and tray_size is None:
        raise CountsError(
            where="icc, tray_size",
            what=f"icc {icc!r} without a tray size",
            rule="trays that differ hold a number of grafts",
            next_step="give tray_size too, or icc=0 for single grafts",
        )
    size = check_tray_size(tray_size) if tray_size is not None and spread > 0.0 else None
    return _told(_rule(low, high, sure, wanted, objective, spread, size), low, high, spread, size)


def _rule(
    floor: float,
    promising: float,
    alpha: float,
    power: float,
    objective: Objective,
    icc: float,
    tray_size: int | None,
) -> TwoStageRule:
    most = _MOST_GRAFTS
    if tray_size is None:
        at_floor, good = [binomial_chances(floor, 1)], [binomial_chances(promising, 1)]
    else:
        most = max(2, min(_MOST_TRAYS, _MOST_COUNTS // tray_size))
        at_floor = [tray_chances(floor, icc, tray_size, truth) for truth in TRUTHS]
        good = [tray_chances(promising, icc, tray_size, truth) for truth in TRUTHS]
    needed = partial(_needed, alpha=alpha, power=power, icc=icc, tray_size=tray_size)
    found = None
    if needed(floor, promising) <= most:
        found = best_rule(at_floor, good, tray_size or 1, alpha, power, objective, most)
    if found is None:
        lower = floor
        while lower > 0.02 and needed(lower, promising) > 0.8 * most:
            lower -= 0.01
        raise DesignError(
            where="floor, promising",
            what=words.too_close(floor, promising),
            rule=words.most_rule(most, tray_size),
            next_step=words.wider_step(lower, promising),
        )
    return found


def _needed(
    floor: float,
    promising: float,
    *,
    alpha: float,
    power: float,
    icc: float,
    tray_size: int | None,
) -> float:
    """Steps (grafts or trays) of a single stage, by the closed form."""
    step = tray_size or 1
    size = floor_size(floor, promising, 1.0 - 2.0 * min(alpha, 0.49), power)
    return size * design_effect(step, icc) / step


def _told(
    rule: TwoStageRule, floor: float, promising: float, icc: float, tray_size: int | None
) -> TwoStage:
    rest = rule.total - rule.first
    rows: list[dict[str, Any]] = [
        {
            "take": take,
            "dropped": dropped,
            "kept": kept,
            "expected_grafts": rule.first + (1.0 - dropped) * rest,
        }
        for take, dropped, kept in (
            (floor, rule.stops_early, rule.size),
            (promising, rule.stops_promising, rule.power),
        )
    ]
    return TwoStage(
        _table=DataFrame(rows),
        notes=words.two_stage_notes(icc, tray_size),
        sentences=words.two_stage_sentences(
            (rule.first, rule.drop_at_or_below, rule.total, rule.fail_at_or_below),
            (rule.size, rule.power, rule.stops_early, rule.expected),
            floor,
            promising,
            tray_size,
        ),
        first=rule.first,
        drop_at_or_below=rule.drop_at_or_below,
        total=rule.total,
        fail_at_or_below=rule.fail_at_or_below,
        size=rule.size,
        power=rule.power,
        stops_early=rule.stops_early,
        expected_grafts=rule.expected,
        floor=floor,
        promising=promising,
        icc=icc,
        tray_size=tray_size,
    )
