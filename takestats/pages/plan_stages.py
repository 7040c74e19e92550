"""How does a page tell a two-stage rule: its table, what it does with any true take?"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from takestats.charts.kept import kept_chart
from takestats.pages.parts import Cells, Picture, Section, Words
from takestats.pages.plan_parts import PlanTold, section
from takestats.pages.rows import rows_of
from takestats.planning.stage_looks import chances_by_take
from takestats.wording import plan_page as words
from takestats.wording.numbers import percent, whole
from takestats.wording.plan_charts import KeptPoint
from takestats.wording.planning import icc_words, of_hundred

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.planning.stage_plans import StagePlans
    from takestats.planning.two_stage import TwoStage

_RULE_SENTENCES = 2
#: Of a rule's notes: how it was worked out, which count decides, then what it does not do.
STAGE_CANNOT = 2


def told_stages(plans: StagePlans, marker: str, say: Callable[[str], None]) -> PlanTold:
    """Everything that the page of a rule in two stages tells.

    Parameters
    ----------
    plans : StagePlans
    marker : str
        For the chart: INVENTED DATA, a citation, or blank.
    say : callable
        Told what is being done.
    """
    rule = plans.chosen
    seen = plans.past
    extra = []
    if rule.tray_size is None:
        extra.append(words.NO_TRAYS_RULE)
    else:
        extra.append(words.worst_stages_line(rule.icc, len(plans.rules) == 1))
        if seen is not None:
            extra.append(
                words.past_line(
                    seen.icc, seen.low, seen.high, seen.trays, seen.grafts, seen.seasons
                )
            )
        elif len(plans.rules) > 1:
            extra.append(words.NO_PAST)
    chart, table = stage_chart(rule, marker)
    return PlanTold(
        title=words.TITLES["two_stage"],
        answer=(
            words.stages_answer(rule.first, rule.total, rule.tray_size),
            *plans.sentences[_RULE_SENTENCES:],
            *extra,
        ),
        rule=stage_rule(rule),
        aside=words.stages_aside(rule.first, rule.total - rule.first, rule.tray_size),
        cannot=(*rule.notes[STAGE_CANNOT:], words.LASTING),
        size=stage_size(rule),
        pair=False,
        numbers=(
            section("rules", "The rule, by how much trays differ", "season",
                    [_rules_cells(plans), Words(text=words.STAGES_TABLE_NOTE)]),
            chart,
        ),
        method=(words.METHOD_STAGES, rule.notes[0]),
        notes=plans.notes,
        tables=(("rules", "rules in two stages, by how much trays differ", plans.table), table),
    )  # fmt: skip


def stage_rule(rule: TwoStage) -> str:
    """The rule by itself: what is made, dropped and kept, by which count."""
    return " ".join([*rule.sentences[:_RULE_SENTENCES], rule.notes[STAGE_CANNOT - 1]])


def stage_size(rule: TwoStage) -> str:
    """The rule in a few words."""
    return f"{whole(rule.first)} grafts first, {whole(rule.total)} in all at most"


def stage_chart(rule: TwoStage, marker: str) -> tuple[Section, tuple[str, str, DataFrame]]:
    """What the rule does with a combination by its true take: the section and its table."""
    table = chances_by_take(rule)
    rows = [
        KeptPoint(
            float(row["take"]),
            float(row["dropped"]),
            float(row["kept"]),
            float(row["expected_grafts"]),
        )
        for row in rows_of(table)
    ]
    floor, promising = (
        min(rows, key=lambda row: abs(row.take - take)) for take in (rule.floor, rule.promising)
    )
    cells = Cells(
        caption="What the rule does, by the true take",
        header=("true take", "dropped after the first stage", "kept in the end", "grafts expected"),
        rows=tuple(
            (percent(r.take), of_hundred(r.dropped), of_hundred(r.kept), whole(r.grafts))
            for r in rows
        ),
        numbers=(False, True, True, True),
    )
    drawn = Picture(draw=partial(kept_chart, rows, floor, promising, marker=marker))
    made = section("kept", "What the rule keeps and drops", "season", [drawn, cells])
    return made, ("chances_by_take", "what the rule does, by the true take", table)


def _rules_cells(plans: StagePlans) -> Cells:
    rows = tuple(
        (
            icc_words(rule.icc) if rule.tray_size is not None else "not asked",
            f"{whole(rule.first)}: {whole(rule.drop_at_or_below)} or fewer",
            f"{whole(rule.total)}: {whole(rule.fail_at_or_below)} or fewer",
            of_hundred(rule.stops_early),
            of_hundred(rule.size),
            of_hundred(rule.power),
        )
        for rule in plans.rules
    )
    chosen = plans.chosen
    return Cells(
        caption=f"Rules for {percent(chosen.floor)} against {percent(chosen.promising)}",
        header=(
            "trays differ by",
            "drop at",
            "give up at",
            "at the floor, dropped early",
            "at the floor, kept by mistake",
            "promising, kept",
        ),
        rows=rows,
        numbers=(False, True, True, True, True, True),
    )
