"""A combination not yet tried: what trial should it get?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import pandas as pd
from pandas import DataFrame

from takestats.errors import CountsError, DesignError
from takestats.models.result import TableResult
from takestats.planning.assurance import assurance
from takestats.planning.built import Asked, plan
from takestats.planning.checks import check_tray_size, check_whole
from takestats.planning.past_combinations import (
    ENOUGH,
    PastCombinations,
    named_plant,
    past_combinations,
    relation_between,
)
from takestats.planning.question import Question
from takestats.planning.tray_plan import TrayPlan
from takestats.planning.two_stage import TwoStage, two_stage
from takestats.wording import cautions
from takestats.wording import new_combination as words

if TYPE_CHECKING:
    from takestats.records.result import Records

MARGIN = 0.10
_WANTED = 0.8
_RANGE_TAKES = (0.80, 0.90, 0.95)
_RANGE_ICCS = (0.02, 0.20)
_MIDDLE_ICC = 0.10
_MOST_TRAYS = 100
_FEWEST_TRAYS = 3
_LOWEST_FLOOR, _HIGHEST = 0.05, 0.98
_LIKELY = 0.5
_AFFORDABLE_TRAYS = 20


@dataclass(frozen=True, eq=False, kw_only=True)
class NewCombinationPlan(TableResult):
    """One recommendation for a combination not yet tried, with the plans behind it.

    ``table``: plan (no worse, above floor, two stages), standard_take, floor, icc,
    take_a, take_b, trays, grafts (of the new combination), power, width, assurance,
    reached. ``in_words()`` begins with the recommendation.

    Parameters
    ----------
    scion, understock, relation : str
    recommendation : str
    recommended : {"no worse", "above floor", "two stages", "first look"}
    margin : float
    tray_size : int
        Smaller than asked for when the grafts would not fill three trays.
    at_most_grafts : int or None
    no_worse, above_floor : tuple of TrayPlan
        One for each standard take that was looked at.
    two_stages : tuple of TwoStage
    past : PastCombinations or None
    cautions : tuple of str
    """

    scion: str
    understock: str
    relation: str
    recommendation: str
    recommended: str
    margin: float
    tray_size: int
    at_most_grafts: int | None
    no_worse: tuple[TrayPlan, ...]
    above_floor: tuple[TrayPlan, ...]
    two_stages: tuple[TwoStage, ...]
    past: PastCombinations | None
    cautions: tuple[str, ...]


def plan_new_combination(
    scion: str,
    understock: str,
    past: Records | None,
    *,
    tray_size: int,
    at_most_grafts: int | None = None,
    seed: int = 1,
) -> NewCombinationPlan:
    """I would like to put this on that: what trial should it get before I believe it?

    Parameters
    ----------
    scion, understock : str
        Full names, or the nursery's own short names of the past records' settings.
    past : Records or None
        Seasons of combinations you know. None: ranges, no single number.
    tray_size : int
        Grafts in a tray.
    at_most_grafts : int, optional
        Grafts of the new combination at most: the scion pieces you have. The standard stands
        beside it with as many.
    seed : int
        Same question, same seed, same digits.

    Returns
    -------
    NewCombinationPlan
        ``recommendation`` in words, ``recommended``, the plans behind it and ``table``.

    Raises
    ------
    CountsError
        For a name that cannot be read, a tray of 0 grafts and the like.
    DesignError
        When the past has no other combination.

    Notes
    -----
    The relation follows from the names. From the past: the intra-tray correlation and its limits;
    the take of the standard (the settings' standard, else the combination with most trays on the
    same understock) in a season not yet seen; with three combinations or more of the relation,
    what a new one may turn out to be, over which power is averaged (assurance). The margin is 10
    points and the floor lies as far below the standard, unless the settings name a combination as
    the standard, and their own margin and floor.

    References
    ----------
    Assurance: O'Hagan, Stevens & Campbell 2005, Pharm Stat 4:187-201 (from memory).

    Examples
    --------
    >>> found = plan_new_combination(
    ...     "Hamamelis mollis", "Hamamelis virginiana", None, tray_size=10, at_most_grafts=20)
    >>> found.relation, found.past is None
    ('same genus', True)
    """
    stem, root = named_plant(scion, past, "scion"), named_plant(understock, past, "understock")
    relation = relation_between(stem, root)
    size = check_tray_size(tray_size)
    if at_most_grafts is not None:
        at_most_grafts = check_whole(
            "at_most_grafts",
            at_most_grafts,
            4,
            "four grafts or more, two trays of two, can be planned",
            "count the scion pieces again",
        )
        # Three trays show how trays differ; one large tray does not.
        size = max(1, min(size, at_most_grafts // _FEWEST_TRAYS))
    seen = None if past is None else past_combinations(past, stem, root, relation)
    margin, floor = _bounds(past, seen)
    standards = _RANGE_TAKES if seen is None else (min(seen.standard.take, _HIGHEST),)
    iccs, middle = _iccs(seen)
    made = _Made(size, at_most_grafts, iccs, middle, margin, seed)
    floors = [
        max(_LOWEST_FLOOR, take - margin) if floor is None else min(floor, take - 0.01)
        for take in standards
    ]
    no_worse = tuple(made.no_worse(take) for take in standards)
    above = tuple(made.above(low, take) for low, take in zip(floors, standards, strict=True))
    rules = tuple(
        made.two_stage(low, take) for low, take in zip(floors, standards, strict=True)
    )
    stages = tuple(rule for rule in rules if rule is not None)
    table = _table(no_worse, above, rules, standards, floors, seen, seed)
    chosen = _choose(no_worse, above, rules, table, seen, at_most_grafts)
    recommendation = words.recommendation(
        chosen, no_worse, above, stages, size, margin, floors, standards, at_most_grafts
    )
    sentences = (
        recommendation,
        words.relation_sentence(str(stem), str(root), relation),
        *words.past_sentences(seen, relation, table),
        *words.limit_sentences(no_worse, above, stages, standards, floors, margin, at_most_grafts),
    )
    return NewCombinationPlan(
        _table=table,
        notes=(
            *words.new_notes(margin, floor is None, size, check_tray_size(tray_size), iccs, seen),
            *cautions.NEW_COMBINATION,
        ),
        sentences=tuple(s for s in sentences if s),
        scion=str(stem),
        understock=str(root),
        relation=relation,
        recommendation=recommendation,
        recommended=chosen,
        margin=margin,
        tray_size=size,
        at_most_grafts=at_most_grafts,
        no_worse=no_worse,
        above_floor=above,
        two_stages=stages,
        past=seen,
        cautions=cautions.NEW_COMBINATION,
    )


def _bounds(past: Records | None, seen: PastCombinations | None) -> tuple[float, float | None]:
    """Margin and floor of the settings, when they are about combinations; else 10 points, None."""
    if past is None or seen is None or seen.standard.why != "settings":
        return MARGIN, None
    given = past.trial.trial
    margin, floor = given.get("margin_points"), given.get("floor")
    return (
        MARGIN if margin is None else float(margin) / 100.0,
        None if floor is None else float(floor),
    )


def _iccs(seen: PastCombinations | None) -> tuple[tuple[float, ...], float]:
    """Correlations of the plans, and the one in the middle."""
    if seen is None or seen.trays is None:
        return _RANGE_ICCS, _MIDDLE_ICC
    return seen.trays.iccs, seen.trays.icc


@dataclass(frozen=True)
class _Made:
    """Makes the plans of one new combination."""

    size: int
    at_most: int | None
    iccs: tuple[float, ...]
    middle: float
    margin: float
    seed: int

    def _plan(self, question: Question) -> TrayPlan:
        grafts = self.size * _MOST_TRAYS if self.at_most is None else self.at_most
        grafts *= 1 if question.one_arm else 2
        return plan(
            Asked(
                question=question,
                iccs=self.iccs,
                wanted=_WANTED,
                most_trays=_MOST_TRAYS,
                at_most_grafts=grafts,
                seed=self.seed,
            )
        )

    def no_worse(self, standard: float) -> TrayPlan:
        """No worse than the standard, beside it."""
        return self._plan(
            Question(
                kind="no_worse",
                take_a=standard,
                take_b=standard,
                margin=min(self.margin, standard - 0.02),
                tray_size=self.size,
            )
        )

    def above(self, floor: float, take: float) -> TrayPlan:
        """Above the floor, by itself."""
        return self._plan(
            Question(kind="above_floor", take_a=floor, take_b=take, tray_size=self.size)
        )

    def two_stage(self, floor: float, take: float) -> TwoStage | None:
        """Two stages of whole trays; None when no rule keeps both chances."""
        try:
            rule = two_stage(floor, take, icc=max(self.middle, 0.005), tray_size=self.size)
        except (DesignError, CountsError):
            return None
        if self.at_most is not None and rule.total > self.at_most:
            return None
        return rule


def _table(
    no_worse: tuple[TrayPlan, ...],
    above: tuple[TrayPlan, ...],
    rules: tuple[TwoStage | None, ...],
    standards: tuple[float, ...],
    floors: list[float],
    seen: PastCombinations | None,
    seed: int,
) -> DataFrame:
    new = seen.new if seen is not None and len(seen.combinations) >= ENOUGH else None
    frames = []
    for name, plans in (("no worse", no_worse), ("above floor", above)):
        for one, standard, floor in zip(plans, standards, floors, strict=True):
            part = one.table
            part.insert(0, "plan", name)
            part.insert(1, "standard_take", standard)
            part.insert(2, "floor", floor)
            part["grafts"] = part["trays"] * one.question.tray_size
            if new is not None:
                part["assurance"] = [
                    assurance(replace(one.question), int(trays), float(icc), new, seed)
                    for trays, icc in zip(part["trays"], part["icc"], strict=True)
                ]
            frames.append(part)
    rows = [
        {
            "plan": "two stages",
            "standard_take": standard,
            "floor": floor,
            "icc": rule.icc,
            "take_a": standard,
            "take_b": float("nan"),
            "trays": rule.total_trays,
            "grafts": rule.total,
            "power": rule.power,
            "width": float("nan"),
            "assurance": float("nan"),
            "false_positive": rule.size,
            "reached": True,
        }
        for rule, standard, floor in zip(rules, standards, floors, strict=True)
        if rule is not None
    ]
    if rows:
        frames.append(DataFrame(rows))
    return pd.concat(frames, ignore_index=True)


def _choose(
    no_worse: tuple[TrayPlan, ...],
    above: tuple[TrayPlan, ...],
    rules: tuple[TwoStage | None, ...],
    table: DataFrame,
    seen: PastCombinations | None,
    at_most: int | None,
) -> str:
    """Which of the plans to recommend: one."""
    best = all(one.reached for one in no_worse)
    floor = all(one.reached for one in above)
    staged = all(rule is not None for rule in rules)
    if at_most is not None:
        if best:
            return "no worse"
        if staged:
            return "two stages"
        return "above floor" if floor else "first look"
    thin = seen is None or len(seen.combinations) < ENOUGH
    mine = table[table["plan"] == "no worse"]["assurance"]
    unlikely = bool(mine.notna().any() and float(mine.min()) < _LIKELY)
    dear = any(one.trays > _AFFORDABLE_TRAYS for one in no_worse)
    if staged and (thin or unlikely or dear):
        return "two stages"
    if best:
        return "no worse"
    return "above floor" if floor else "two stages" if staged else "first look"
