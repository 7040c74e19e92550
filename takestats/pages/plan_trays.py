"""How does a page tell a plan of trays: its table, its charts, what it cannot show?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from takestats.charts.power import power_chart, tray_size_chart, width_chart
from takestats.pages.parts import Block, Cells, Picture, Section, Words
from takestats.pages.plan_parts import PlanTold, section
from takestats.pages.rows import rows_of
from takestats.planning.checks import USUAL_ICCS
from takestats.planning.plan_looks import (
    look_trials,
    power_by_tray_size,
    power_by_trays,
    usual_counts,
)
from takestats.planning.whole_trays import whole_trays_instead
from takestats.wording import plan_page as words
from takestats.wording import planning as plan_words
from takestats.wording.numbers import listing, percent, points, whole
from takestats.wording.plan_charts import Planned, PowerPoint, SizePoint
from takestats.wording.plan_gain import gain_line

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.planning.tray_plan import TrayPlan

_ENOUGH_GRAFTS = 5
Say = Callable[[str], None]
Tables = tuple[tuple[str, str, "DataFrame"], ...]


def told_trays(plan: TrayPlan, marker: str, say: Say) -> PlanTold:
    """Everything that the page of a plan of trays tells.

    Parameters
    ----------
    plan : TrayPlan
    marker : str
        For the charts: INVENTED DATA, a citation, or blank.
    say : callable
        Told what is being done.
    """
    question = plan.question
    charts, tables = plan_charts(plan, marker, say)
    spares = plan_words.spares_note(plan.grafts, question.grafts(1))
    aside = spares.removeprefix("Set aside ")
    if plan.at_most_grafts is not None and plan.set_aside > plan.at_most_grafts:
        aside = words.no_spare_aside(plan.grafts, plan.at_most_grafts)
    said = tuple(s for s in plan.sentences if s != plan.rule)
    past = past_words(plan)
    return PlanTold(
        title=words.TITLES[question.kind],
        answer=(*said[:2], *_gain(plan, say), *_picture(plan), *said[2:], past),
        rule=plan.rule,
        aside=aside,
        cannot=words.cannot_show(
            question.kind, question.take_a, question.take_b, question.margin, question.arms
        ),
        size=plan_size(plan),
        pair=not question.one_arm,
        numbers=(
            section("needed", "How many trays, by how much trays differ", "season",
                    [plan_cells(plan), Words(text=words.TABLE_NOTE), Words(text=past)]),
            *charts,
        ),
        method=(words.METHOD,),
        notes=tuple(note for note in plan.notes if note != spares),
        tables=(("plan", "trays needed, by how much trays differ", plan.table), *tables),
        seed=plan.seed,
    )  # fmt: skip


def _gain(plan: TrayPlan, say: Say) -> tuple[str, ...]:
    """What it saves to put both methods into each tray."""
    if not plan.question.within_trays or plan.at_most_grafts is not None:
        return ()
    instead = whole_trays_instead(plan, say)
    numbers = (None, None) if instead is None else (instead.trays, instead.grafts)
    return (gain_line(plan.trays, plan.grafts, *numbers),)


def _picture(plan: TrayPlan) -> tuple[str, ...]:
    """What the least and the most uneven trays looked at would look like."""
    question = plan.question
    iccs = plan.table["icc"]
    if question.tray_size < _ENOUGH_GRAFTS or question.within_trays:
        return ()
    ends = dict.fromkeys((float(iccs.min()), float(iccs.max())))
    spans = [(icc, *usual_counts(question.take_b, icc, question.tray_size)) for icc in ends]
    return (words.picture_line(question.take_b, question.tray_size, spans),)


def past_words(plan: TrayPlan) -> str:
    """What the past shows of the trays, or that it was assumed, or typed."""
    seen = plan.past
    if seen is None:
        usual = tuple(plan.table["icc"]) == USUAL_ICCS
        return words.NO_PAST if usual else plan_words.TYPED_ICC_NOTE
    return words.past_line(seen.icc, seen.low, seen.high, seen.trays, seen.grafts, seen.seasons)


def plan_size(plan: TrayPlan) -> str:
    """The plan in a few words."""
    question = plan.question
    return plan_words.size_words(
        question.kind,
        plan.trays,
        question.tray_size,
        plan.grafts,
        question.arms,
        question.within_trays,
    )


def plan_cells(plan: TrayPlan) -> Cells:
    """The table of the plan as it is shown."""
    each = not plan.question.one_arm and not plan.question.within_trays
    rows = []
    for row in rows_of(plan.table):
        takes = [percent(x) for x in (row["take_a"], row["take_b"]) if x == x]
        rate = row["false_positive"]
        rows.append(
            (
                plan_words.icc_words(row["icc"]),
                listing(takes),
                whole(row["trays"]),
                whole(row["grafts"]),
                plan_words.of_hundred(row["power"]) + ("" if row["reached"] else ", too few"),
                points(row["width"]) if row["width"] == row["width"] else "",
                plan_words.of_hundred(rate) if rate == rate else "none can be",
            )
        )
    return Cells(
        caption="Trays needed at each degree to which trays may differ",
        header=(
            "trays differ by",
            "takes assumed",
            "trays of each" if each else "trays",
            "grafts in all",
            "answered in",
            "interval",
            "false finding",
        ),
        rows=tuple(rows),
        numbers=(False, False, True, True, True, True, True),
    )


def plan_charts(plan: TrayPlan, marker: str, say: Say) -> tuple[tuple[Section, ...], Tables]:
    """The three charts around a plan, and the tables behind them."""
    by_trays = power_by_trays(plan, say)
    by_size = power_by_tray_size(plan, say)
    planned = _planned(plan)
    curve = _points(by_trays)
    table = plan.table
    table["trials"] = 0
    needed = _points(table)
    blocks: list[tuple[str, str, list[Block]]] = [
        ("power", "How often so many trays answer it",
         [Picture(draw=partial(power_chart, curve, needed, planned, marker=marker))]),
        ("sizes", "Trays, or more grafts in each",
         [Picture(draw=partial(tray_size_chart, _sizes(by_size), planned,
                               trials=look_trials(plan), marker=marker))]),
        ("width", "How well the answer will be known",
         [Picture(draw=partial(width_chart, curve, planned, marker=marker))]),
    ]  # fmt: skip
    tables = (
        ("power_by_trays", "power and median width of the interval against trays", by_trays),
        ("power_by_tray_size", "power against grafts in a tray", by_size),
        ("unequal", "power if one method's trays are more uneven", plan.unequal),
    )
    sections = tuple(section(key, heading, "season", inside) for key, heading, inside in blocks)
    return sections, tuple(table for table in tables if len(table[2]))


def _planned(plan: TrayPlan) -> Planned:
    question = plan.question
    return Planned(
        trays=plan.trays,
        tray_size=question.tray_size,
        icc=plan.icc,
        power=plan.power,
        wanted=plan.power_wanted,
        aim=plan_words.aim_words(question.kind, question.take_a, question.take_b, question.margin),
        each=not question.one_arm and not question.within_trays,
        of_difference=not question.one_arm,
    )


def _points(table: DataFrame) -> list[PowerPoint]:
    return [
        PowerPoint(
            float(row["icc"]),
            int(row["trays"]),
            int(row["grafts"]),
            float(row["power"]),
            float(row["width"]),
            int(row["trials"]),
        )
        for row in rows_of(table)
    ]


def _sizes(table: DataFrame) -> Sequence[SizePoint]:
    return [
        SizePoint(int(row["tray_size"]), int(row["trays"]), int(row["grafts"]), float(row["power"]))
        for row in rows_of(table)
    ]
