"""What does the page say of cuttings, and of what a plant costs?"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from takestats.answers.costs import PlantCosts, plant_costs
from takestats.answers.cuttings import RootedShares, rooted_shares
from takestats.answers.spending import left_of, plan_of, told_of
from takestats.pages.parts import Block, Cells, Points, Section, Words
from takestats.pages.rows import rows_of, slug
from takestats.pages.topic import Topic
from takestats.wording.costs import (
    NO_CULL,
    NOT_OPTIMUM,
    StepWords,
    break_even_line,
    break_even_words,
    costs_caption,
    left_out_lines,
    money,
    money_interval,
    step_cells,
    under_line,
)
from takestats.wording.cuttings import SIDE_BY_SIDE
from takestats.wording.numbers import level_text, percent, whole
from takestats.wording.said import factor_words
from takestats.wording.stages import counted_on, dates_of, share_words

if TYPE_CHECKING:
    from takestats.answers.rates import TakeRates
    from takestats.answers.stage_lines import StageLines
    from takestats.pages.gathered import Gathered

COST_FACTORS = ("method", "scion_wood")
Row = dict[str, Any]


def money_topic(found: Gathered, marker: str, say: Callable[[str], None]) -> Topic | None:
    """Cuttings beside grafts of the same scion; what a plant costs, by method and scion wood.

    Parameters
    ----------
    found : Gathered
    marker : str
        Not used: there is no chart.
    say : callable

    Returns
    -------
    Topic or None
        None when neither cuttings nor costs are recorded.
    """
    del marker
    rooted = rooted_shares(found.recorded, count=found.model.count)
    overall = found.costs
    if rooted.table.empty and overall is None:
        return None
    say("cuttings and money")
    sections: list[Section] = []
    tables: list[tuple[str, str, Any]] = []
    notes: list[str] = []
    if not rooted.table.empty:
        sections.append(_cuttings(rooted))
        tables.append(("cuttings", "rooted cuttings, and grafts of the same scion", rooted.table))
        notes += [f"Cuttings: {note}" for note in rooted.notes]
    if overall is not None:
        lines = found.made_lines
        costs = _costs(found, overall)
        sections.append(_money(found, lines, costs))
        for result in costs.values():
            what = f"cost per plant by {factor_words(result.by)}" if result.by else "cost per plant"
            name = f"cost_by_{slug(result.by).replace('-', '_')}" if result.by else "cost_overall"
            tables.append(
                (name, f"{what}{', assumed' if overall.plan.assumed else ''}", result.table)
            )
        notes += [f"Money: {note}" for note in costs[""].notes]
    return Topic(sections=tuple(sections), tables=tuple(tables), notes=tuple(notes))


def _cuttings(rooted: RootedShares) -> Section:
    rows = tuple(
        (
            row["scion"],
            row["season"],
            share_words(row["rooted_share"], row["low"], row["high"]),
            f"{whole(row['rooted'])} of {whole(row['struck'])}",
            whole(row["trays"]),
            dates_of(row),
            share_words(row["take_rate"], row["take_low"], row["take_high"]),
            f"{whole(row['taken'])} of {whole(row['grafts'])}"
            if not math.isnan(row["taken"])
            else whole(math.nan),
            whole(row["graft_trays"]),
        )
        for row in rows_of(rooted.table)
    )
    table = Cells(
        caption="Cuttings, and grafts of the same scion beside them",
        header=(
            "scion",
            "season",
            "rooted, raw (95 % interval)",
            "rooted",
            "trays",
            "counted",
            "take of grafts, raw (95 % interval)",
            "taken",
            "trays of grafts",
        ),
        rows=rows,
        numbers=(False, *(True,) * 8),
    )
    blocks: tuple[Block, ...] = (
        Words(text=SIDE_BY_SIDE),
        table,
        Points(items=rooted.sentences),
    )
    return Section(key="cuttings", heading="Cuttings", part="season", blocks=blocks)


def _costs(found: Gathered, overall: PlantCosts) -> dict[str, PlantCosts]:
    """All grafts, then method and scion wood where they are recorded."""
    made = found.asked.out_of == "made"
    compared: dict[str, TakeRates] = dict(found.rates) if made else {}
    lines = found.made_lines
    costs = {"": overall}
    own = lines.of_season(found.season)
    for name in COST_FACTORS:
        if name in own and own[name].notna().any():
            costs[name] = plant_costs(
                found.records, name, rates=compared.get(name), lines=lines, season=found.season
            )
    return costs


def _money(found: Gathered, lines: StageLines, costs: dict[str, PlantCosts]) -> Section:
    overall = costs[""]
    plan, told = overall.plan, told_of(overall.plan)
    row = rows_of(overall.table)[0]
    blocks: list[Block] = [Points(items=overall.sentences)]
    blocks += [_cells(result, found.season) for result in costs.values() if result.by]
    said = [break_even_line(row, told, found.asked.floor)]
    under = _under(found, lines)
    said += [under] if under else []
    if math.isnan(row["saleable_share"]):
        said = list(dict.fromkeys([NO_CULL, *said]))
    else:
        said.append(f"Saleable plants: {counted_on(row)}.")
    blocks.append(Points(items=tuple(said)))
    blocks.append(_steps(overall))
    blocks += [Words(text=line) for line in left_out_lines(left_of(plan, _own(found, lines)))]
    blocks.append(Words(text=NOT_OPTIMUM))
    return Section(key="money", heading="What a plant costs", part="season", blocks=tuple(blocks))


def _own(found: Gathered, lines: StageLines) -> Any:
    return lines.of_season(found.season)


def _cells(result: PlantCosts, season: str) -> Cells:
    told = told_of(result.plan)
    return Cells(
        caption=costs_caption(factor_words(result.by), told, season),
        header=(
            factor_words(result.by),
            "spent on a graft",
            "per plant taken (95 % interval)",
            "per saleable plant (95 % interval)",
            "break-even take",
            "take",
            "saleable of those that took",
            "trays",
            "grafts",
        ),
        rows=tuple(
            (
                level_text(row[result.by]),
                money(row["spent_per_graft"], ""),
                money_interval(row["cost_per_taken"], row["taken_low"], row["taken_high"], ""),
                money_interval(row["cost_per_saleable"], row["cost_low"], row["cost_high"], ""),
                break_even_words(
                    row["break_even_take"], row["break_even_low"], row["break_even_high"]
                ),
                percent(row["take_rate"]),
                percent(row["saleable_share"]),
                whole(row["trays"]),
                whole(row["grafts"]),
            )
            for row in rows_of(result.table)
        ),
        numbers=(False, *(True,) * 8),
    )


def _under(found: Gathered, lines: StageLines) -> str | None:
    """Combinations that took less than their own break-even take."""
    own = lines.of_season(found.season)
    plan = plan_of(found.records.trial)
    if plan is None or plan.price is None or own["saleable"].isna().all():
        return None
    if "combination" not in own or own["combination"].isna().all():
        return None
    rates = found.rates.get("combination") if found.asked.out_of == "made" else None
    table = plant_costs(
        found.records, "combination", rates=rates, lines=lines, season=found.season
    ).table
    under = table[table["take_rate"] < table["break_even_take"]]
    return under_line(
        [
            (
                row["combination"],
                row["take_rate"],
                row["take_low"],
                row["take_high"],
                row["break_even_take"],
            )
            for row in rows_of(under)
        ],
        plan.assumed,
    )


def _steps(result: PlantCosts) -> Cells:
    plan = result.plan
    rows = [
        step_cells(
            StepWords(
                step.name,
                step.minutes,
                step.money,
                plan.money_of(step),
                step.per,
                step.only[1] if step.only else "",
                step.assumed,
            )
        )
        for step in plan.steps
    ]
    hour = "" if plan.hour is None else f"An hour of work: {money(plan.hour, plan.currency)}. "
    price = "" if plan.price is None else f"A saleable plant: {money(plan.price, plan.currency)}."
    return Cells(
        caption="What each step costs, from the settings",
        header=("step", "minutes", "money", "together", "what for", "from"),
        rows=tuple(rows),
        numbers=(False, True, True, True, False, False),
        after=f"{hour}{price}".strip(),
    )
