"""Which plans does a new combination get, and which of them is recommended?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pandas as pd
from pandas import DataFrame

from takestats.errors import CountsError, DesignError
from takestats.models.progress import silent
from takestats.planning.assurance import assurance, chance_kept
from takestats.planning.built import plan
from takestats.planning.past_combinations import ENOUGH, PastCombinations
from takestats.planning.plan_rows import Asked
from takestats.planning.question import Question
from takestats.planning.tray_plan import TrayPlan
from takestats.planning.two_stage import TwoStage, two_stage
from takestats.wording import plan_steps as steps

_WANTED = 0.8
_MOST_TRAYS = 100
LOWEST_FLOOR, _FLOOR_STEP = 0.05, 0.05
_LIKELY = 0.5
_AFFORDABLE_TRAYS = 20


@dataclass(frozen=True)
class Maker:
    """Makes the plans of one new combination."""

    size: int
    at_most: int | None
    iccs: tuple[float, ...]
    middle: float
    margin: float
    seed: int
    say: Callable[[str], None] = silent

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
                say=self.say,
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

    def fallback(self, floor: float, take: float) -> TwoStage | None:
        """With few grafts: the rule whose floor lies nearest below the one that is out of reach."""
        lower = floor - _FLOOR_STEP
        while self.at_most is not None and lower >= LOWEST_FLOOR:
            rule = self.two_stage(lower, take)
            if rule is not None:
                return rule
            lower -= _FLOOR_STEP
        return None

    def two_stage(self, floor: float, take: float) -> TwoStage | None:
        """Two stages of whole trays; None when no rule keeps both chances."""
        self.say(steps.stages(floor, take))
        try:
            rule = two_stage(floor, take, icc=max(self.middle, 0.005), tray_size=self.size)
        except (DesignError, CountsError):
            return None
        if self.at_most is not None and rule.total > self.at_most:
            return None
        return rule


def plans_table(
    no_worse: tuple[TrayPlan, ...],
    above: tuple[TrayPlan, ...],
    rules: tuple[TwoStage | None, ...],
    standards: tuple[float, ...],
    floors: list[float],
    seen: PastCombinations | None,
    seed: int,
) -> DataFrame:
    """Every plan, row by row; grafts are those of the new combination."""
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
            "assurance": float("nan") if new is None else chance_kept(rule, new),
            "false_positive": rule.size,
            "reached": True,
        }
        for rule, standard, floor in zip(rules, standards, floors, strict=True)
        if rule is not None
    ]
    if rows:
        frames.append(DataFrame(rows))
    return pd.concat(frames, ignore_index=True)


def choose(
    no_worse: tuple[TrayPlan, ...],
    above: tuple[TrayPlan, ...],
    rules: tuple[TwoStage | None, ...],
    table: DataFrame,
    seen: PastCombinations | None,
    at_most: int | None,
) -> str:
    """Which of the plans to recommend: one.

    With few grafts the first that is reached. Else two stages when the past is thin, when the
    trial is less likely than not to come off, or when it is dear.
    """
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
