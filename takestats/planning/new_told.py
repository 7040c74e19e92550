"""What is told of the plans and of the past, as plain values?"""

from __future__ import annotations

from collections.abc import Sequence

from pandas import DataFrame

from takestats.planning.past_combinations import ENOUGH, PastCombinations
from takestats.planning.tray_plan import TrayPlan
from takestats.planning.two_stage import TwoStage
from takestats.wording.new_combination import ToldPast, ToldPlan, ToldRule


def told_plans(plans: Sequence[TrayPlan]) -> tuple[ToldPlan, ...]:
    """Trays, power, whether it is reached, and what the trays can do if not."""
    return tuple(
        ToldPlan(
            trays=one.trays,
            power=one.power,
            reached=one.reached,
            can_tell=one.can_tell,
        )
        for one in plans
    )


def told_rules(rules: Sequence[TwoStage]) -> tuple[ToldRule, ...]:
    """The four numbers of each rule, and its floor."""
    return tuple(
        ToldRule(
            first=rule.first,
            drop=rule.drop_at_or_below,
            total=rule.total,
            fail=rule.fail_at_or_below,
            floor=rule.floor,
        )
        for rule in rules
    )


def told_past(seen: PastCombinations, table: DataFrame) -> ToldPast:
    """The standard, the combinations of the relation, and what they make likely."""
    old = seen.standard
    likely = None
    assured = None
    if seen.new is not None and len(seen.combinations) >= ENOUGH:
        low, middle, high = seen.new.quantiles([0.05, 0.5, 0.95])
        likely = (low, middle, high)
        mine = table[table["plan"] == "no worse"]["assurance"]
        assured = float(mine.min())
    trays = seen.trays
    return ToldPast(
        standard=old.name,
        why=old.why,
        take=(old.low, old.take, old.high),
        standard_seasons=old.seasons,
        standard_trays=old.trays,
        standard_grafts=old.grafts,
        combinations=len(seen.combinations),
        seasons=seen.seasons,
        trays=seen.tray_count,
        grafts=seen.graft_count,
        likely=likely,
        assurance=assured,
        taken=float(seen.tried["taken"].sum()),
        tried=float(seen.tried["tried"].sum()),
        icc=None if trays is None else (trays.low, trays.icc, trays.high),
        icc_trays=0 if trays is None else trays.trays,
    )
