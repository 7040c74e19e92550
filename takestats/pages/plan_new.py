"""How does a page tell the plan of a combination not yet tried?"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from takestats.pages.parts import Cells, Section, Words
from takestats.pages.plan_parts import PlanTold, section
from takestats.pages.plan_stages import STAGE_CANNOT, stage_chart, stage_rule, stage_size
from takestats.pages.plan_trays import Tables, plan_charts, plan_size
from takestats.pages.rows import rows_of
from takestats.planning.plan_settings import recommended_plan
from takestats.planning.two_stage import TwoStage
from takestats.wording import plan_page as words
from takestats.wording.new_combination import smaller_trays
from takestats.wording.numbers import percent, points, whole
from takestats.wording.planning import icc_words, of_hundred

if TYPE_CHECKING:
    from takestats.planning.new_combination import NewCombinationPlan


def told_new(plan: NewCombinationPlan, marker: str, say: Callable[[str], None]) -> PlanTold:
    """Everything that the page of a new combination tells.

    Parameters
    ----------
    plan : NewCombinationPlan
    marker : str
        For the charts: INVENTED DATA, a citation, or blank.
    say : callable
        Told what is being done.
    """
    chosen = recommended_plan(plan)
    charts: tuple[Section, ...]
    tables: Tables
    method: tuple[str, ...]
    if isinstance(chosen, TwoStage):
        made, table = stage_chart(chosen, marker)
        charts, tables = (made,), (table,)
        rule, size = stage_rule(chosen), stage_size(chosen)
        aside = words.stages_aside(
            chosen.first, chosen.total - chosen.first, chosen.tray_size, plan.at_most_grafts
        )
        cannot = chosen.notes[STAGE_CANNOT:]
        method = (words.METHOD, words.METHOD_STAGES)
    else:
        charts, tables = plan_charts(chosen, marker, say)
        rule, size = chosen.rule, plan_size(chosen)
        question = chosen.question
        beside = words.alone_aside if question.one_arm else words.beside_aside
        mine = chosen.trays * question.tray_size
        aside = beside(mine, question.tray_size)
        if plan.at_most_grafts is not None and mine + question.tray_size > plan.at_most_grafts:
            aside = words.no_spare_aside(mine, plan.at_most_grafts)
        cannot = words.cannot_show(
            question.kind, question.take_a, question.take_b, question.margin, question.arms
        )[:-1]
        method = (words.METHOD,)
    ranged = len({row["standard_take"] for row in rows_of(plan.table)}) > 1
    smaller = [note for note in plan.notes if note.startswith(smaller_trays(plan.tray_size))]
    range_line = ""
    if ranged:
        take = chosen.promising if isinstance(chosen, TwoStage) else chosen.question.take_b
        range_line = words.range_standard_line(take)
    return PlanTold(
        title=words.new_title(plan.scion, plan.understock),
        answer=(*plan.sentences, *smaller, *((range_line,) if ranged else ())),
        rule=rule,
        aside=aside,
        cannot=cannot,
        before=plan.cautions,
        size=size,
        range_line=range_line,
        pair=not isinstance(chosen, TwoStage) and not chosen.question.one_arm,
        numbers=(
            section("plans", "The plans behind the recommendation", "season",
                    [_plans_cells(plan), Words(text=words.NEW_TABLE_NOTE)]),
            *charts,
        ),
        method=method,
        notes=tuple(note for note in plan.notes if note not in plan.cautions),
        tables=(("plans", "plans for the new combination", plan.table), *tables),
        seed=plan.no_worse[0].seed,
    )  # fmt: skip


def _plans_cells(plan: NewCombinationPlan) -> Cells:
    rows = []
    for row in rows_of(plan.table):
        assured = row["assurance"]
        width = row["width"]
        rows.append(
            (
                str(row["plan"]),
                percent(row["standard_take"]),
                percent(row["floor"]) if row["plan"] != "no worse" else "",
                icc_words(row["icc"]),
                whole(row["trays"]),
                whole(row["grafts"]),
                of_hundred(row["power"]) + ("" if row["reached"] else ", too few"),
                points(width) if width == width else "",
                of_hundred(row["false_positive"]),
                of_hundred(assured) if assured == assured else words.NOT_GIVEN,
            )
        )
    return Cells(
        caption="Plans, by how much trays differ",
        header=(
            "plan",
            "standard",
            "floor",
            "trays differ by",
            "trays",
            "grafts",
            "answered in",
            "interval",
            "false finding",
            "assurance",
        ),
        rows=tuple(rows),
        numbers=(False, True, True, True, True, True, True, True, True, True),
    )
