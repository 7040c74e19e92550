"""How does the question get into the settings, so that the report answers it by its rule?"""

from __future__ import annotations

from typing import Any

from takestats.planning.new_combination import NewCombinationPlan
from takestats.planning.tray_plan import TrayPlan
from takestats.planning.two_stage import TwoStage
from takestats.wording import plan_settings as words

Settings = dict[str, dict[str, Any]]


def plan_settings(plan: TrayPlan | TwoStage | NewCombinationPlan) -> Settings:
    """The question, margin, floor, rule and stages of a plan, as settings of a trial.

    Parameters
    ----------
    plan : TrayPlan, TwoStage or NewCombinationPlan
        Of a new combination: those of the plan that is recommended.

    Returns
    -------
    dict
        Sections ``trial`` and ``bench`` with their keys, as :func:`takestats.read_records` takes
        them for ``trial``.

    Examples
    --------
    >>> from takestats.planning.two_stage import two_stage
    >>> plan_settings(two_stage(0.7, 0.9))["trial"]["stages"]
    ['6 grafts: drop at 4 or fewer', '27 grafts: give up at 22 or fewer']
    """
    if isinstance(plan, NewCombinationPlan):
        return _of_new(plan)
    if isinstance(plan, TwoStage):
        return _of_stages(plan)
    return _of_trays(plan)


def _of_trays(plan: TrayPlan) -> Settings:
    question = plan.question
    trial: dict[str, Any] = {
        "question": words.question(
            question.kind, question.take_a, question.take_b, question.margin
        ),
        "rule": plan.rule,
    }
    if not question.one_arm:
        trial["randomised"] = "half" if question.within_trays else "tray"
    if question.kind in ("no_worse", "estimate"):
        trial["margin_points"] = words.exact_points(question.margin)
    if question.kind == "above_floor":
        trial["floor"] = words.exact_share(question.take_a)
    bench: dict[str, Any] = {"trays_each": plan.trays, "tray_size": question.tray_size}
    if question.within_trays:
        bench["split_trays"] = True  # each tray holds half of each method, the halves by lot
    return {"trial": trial, "bench": bench}


def _of_stages(plan: TwoStage) -> Settings:
    found: Settings = {
        "trial": {
            "question": words.two_stage_question(plan.floor, plan.promising),
            "rule": plan.in_words(),
            "floor": words.exact_share(plan.floor),
            "stages": words.stages(
                plan.first, plan.drop_at_or_below, plan.total, plan.fail_at_or_below
            ),
        }
    }
    if plan.tray_size is not None:
        found["bench"] = {"trays_each": plan.first_trays, "tray_size": plan.tray_size}
    return found


def asked_by_name(plan: TrayPlan, new: str, standard: str) -> str:
    """The question of a plan of trays by the names of what is on trial; blank without them."""
    question = plan.question
    if not new or (not question.one_arm and not standard):
        return ""
    limit = question.take_a if question.kind == "above_floor" else question.margin
    return words.named_question(question.kind, new, standard, limit)


def recommended_plan(plan: NewCombinationPlan) -> TrayPlan | TwoStage:
    """The plan that is recommended; of a range of standards the one with most trays.

    A rule in two stages, and a floor, follow from the standard's take: of a range of standards
    that of the first.
    """
    if plan.recommended == "two stages":
        return plan.two_stages[0]
    if plan.recommended == "first look" and plan.fallback is not None:
        return plan.fallback
    if plan.recommended == "no worse":
        return max(plan.no_worse, key=lambda one: one.trays)
    return plan.above_floor[0]


def _of_new(plan: NewCombinationPlan) -> Settings:
    chosen = recommended_plan(plan)
    found = _of_stages(chosen) if isinstance(chosen, TwoStage) else _of_trays(chosen)
    found["trial"]["new"] = words.combination(plan.scion, plan.understock)
    if plan.past is not None:
        found["trial"]["standard"] = plan.past.standard.name
    return found
