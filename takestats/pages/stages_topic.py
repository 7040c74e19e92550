"""What does the page say of the stages of a graft: taken, alive later, fit for sale?"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from takestats.answers.first_count import FirstCount, first_against_settled
from takestats.answers.later_failures import LaterFailures, later_failures
from takestats.answers.stage_lines import StageLines, stage_lines
from takestats.answers.stages import (
    LATER,
    SALEABLE_OF_TAKEN,
    TAKEN,
    StageShares,
    stage_shares,
)
from takestats.charts.stages import stages_chart
from takestats.pages.parts import Block, Cells, Picture, Points, Section, Words
from takestats.pages.rows import rows_of
from takestats.pages.stage_cells import (
    MOST_ROWS,
    file_of,
    first_cells,
    later_cells,
    stage_cells,
    what_of,
)
from takestats.pages.topic import Topic
from takestats.wording.first_count import STORED_FOOD
from takestats.wording.numbers import level_text
from takestats.wording.stage_chart import Stage
from takestats.wording.stages import (
    BY_RELATION,
    LOST_LATER,
    RAW_STAGES,
    dates_of,
    few_trays_line,
    later_season_line,
    stages_bench_line,
)

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered

MOST_DRAWN = 6
CLEARLY_LOST = 0.05
"""A later stage is told at the bench when its whole interval lies this far below all."""

Row = dict[str, Any]


def stages_topic(found: Gathered, marker: str, say: Callable[[str], None]) -> Topic | None:
    """Stages of the season, of its main factor and of combinations; later survival by season.

    Parameters
    ----------
    found : Gathered
    marker : str
        For the chart.
    say : callable

    Returns
    -------
    Topic or None
        None when neither a first count, a later count nor saleable plants are recorded.
    """
    lines = stage_lines(found.records, count=found.model.count, out_of=found.asked.out_of)
    table = lines.table
    recorded = [table[name].notna().any() for name in ("alive_later", "saleable", "first_taken")]
    if not any(recorded) or lines.of_season(found.season).empty:
        return None
    say("from graft to saleable plant")
    factors: list[str | None] = [None]
    factors += [name for name in dict.fromkeys((found.main, "combination")) if _usable(table, name)]
    shares = {name: stage_shares(lines, name) for name in factors}
    falls = {
        name: first_against_settled(lines, name, season=found.season if name else None)
        for name in factors[:2]
    }
    failures = later_failures(lines)
    last = stage_shares(lines, season=found.season).sentences
    blocks: list[Block] = [Points(items=last), Words(text=RAW_STAGES)]
    blocks += _picture(shares, found.main, found.season, "stages", marker)
    for name in factors[1:] or factors:
        above = shares[None] if name == (factors[1:] or [""])[0] else None
        blocks.append(stage_cells(shares[name], found.season, above))
    blocks += _few(shares[None], found.season)
    sections = [Section(key="stages", heading=_HEADING, part="season", blocks=tuple(blocks))]
    later = _later(shares, lines, failures, found, marker)
    if later is not None:
        sections.append(later)
    first = _first(falls)
    if first is not None:
        sections.append(first)
    return Topic(
        sections=tuple(sections),
        tables=_tables(shares, falls, failures),
        notes=tuple(
            f"Stages: {note}"
            for result in (shares[None], falls[None], failures)
            for note in result.notes
        ),
        bench=_bench(shares[None], found.season),
    )


_HEADING = "From graft to saleable plant"


def _usable(table: Any, name: str) -> bool:
    return bool(name and name in table and table[name].notna().any())


def _picture(
    shares: dict[str | None, StageShares], main: str, season: str, name: str, marker: str
) -> list[Block]:
    """One chart: the main factor's levels where they are few, else the season as a whole."""
    stages: list[Stage] = []
    for factor in (main or None, None):
        if factor not in shares:
            continue
        result = shares[factor]
        rows = [row for row in rows_of(result.table) if row["season"] == season]
        stages = [
            Stage(
                level_text(row[result.by]) if result.by else f"season {season}".strip(),
                row["stage"],
                row["share"],
                row["low"],
                row["high"],
                row["alive"],
                row["out_of"],
                row["trays"],
            )
            for row in rows
            if not math.isnan(row["share"])
        ]
        if 0 < len({stage.level for stage in stages}) <= MOST_DRAWN:
            break
    level = shares[None].level
    draw = partial(stages_chart, stages, season, name=name, level=level, marker=marker)
    return [Picture(draw=draw)] if any(stage.stage != TAKEN for stage in stages) else []


def _few(result: StageShares, season: str) -> list[Block]:
    """Count dates, and on how many trays the later stages rest."""
    took = result.row(TAKEN, season=season)
    lines = [f"Taken: counted {dates_of(took)}."]
    for stage in (LATER, SALEABLE_OF_TAKEN):
        row = result.row(stage, season=season)
        few = few_trays_line(stage.removesuffix(" of taken"), row["trays"], row["counted_trays"])
        lines += [few] if few else []
        if row["share"] == row["share"]:
            lines.append(
                f"{stage.removesuffix(' of taken').capitalize()}: counted {dates_of(row)}."
            )
    return [Points(items=tuple(lines))]


def _later(
    shares: dict[str | None, StageShares],
    lines: StageLines,
    failures: LaterFailures,
    found: Gathered,
    marker: str,
) -> Section | None:
    """Alive later, every season on its own, and failures by relation."""
    if not lines.later:
        return None
    blocks: list[Block] = []
    if found.season not in lines.later:
        blocks.append(Words(text=later_season_line(found.season)))
        season = max(lines.later)
        blocks += _picture(shares, found.main, season, "stages-later", marker)
    blocks.append(Words(text=LOST_LATER))
    rows: list[tuple[str, ...]] = []
    for name, result in shares.items():
        label = result.by or "level"
        for row in rows_of(result.table):
            if row["stage"] == LATER and not math.isnan(row["share"]):
                level = level_text(row[label]) if name else "all grafts"
                rows.append((level, row["season"], *later_cells(row)))
    blocks.append(
        Cells(
            caption="Alive later of those that took, each season on its own",
            header=("what", "season", "alive later (95 % interval)", "alive", "trays", "counted"),
            rows=tuple(rows[: 3 * MOST_ROWS]),
            numbers=(False, *(True,) * 5),
            after=f"{len(rows) - 3 * MOST_ROWS} more in tables/stages_by_combination.csv."
            if len(rows) > 3 * MOST_ROWS
            else "",
        )
    )
    if not failures.table.empty:
        blocks += [Points(items=failures.sentences), Words(text=BY_RELATION)]
    return Section(key="alive-later", heading="Alive later", part="season", blocks=tuple(blocks))


def _first(falls: dict[str | None, FirstCount]) -> Section | None:
    """The first count against the compared one."""
    if falls[None].table.empty:
        return None
    blocks: list[Block] = [Words(text=STORED_FOOD)]
    blocks.append(first_cells(falls))
    blocks.append(Points(items=(falls[None].sentences[-1],)))
    return Section(
        key="first-count", heading="First count and later", part="season", blocks=tuple(blocks)
    )


def _bench(result: StageShares, season: str) -> tuple[str, ...]:
    """A sentence for each later stage that loses clearly."""
    rows = [result.row(stage, season=season) for stage in (LATER, SALEABLE_OF_TAKEN)]
    return tuple(
        stages_bench_line(row["stage"], row, result.level)
        for row in rows
        if row["high"] < 1.0 - CLEARLY_LOST
    )


def _tables(
    shares: dict[str | None, StageShares],
    falls: dict[str | None, FirstCount],
    failures: LaterFailures,
) -> tuple[tuple[str, str, Any], ...]:
    tables: list[tuple[str, str, Any]] = [
        (
            file_of(result),
            f"raw shares of the stages of {what_of(result)}, each season",
            result.table,
        )
        for result in shares.values()
    ]
    tables += [
        (
            file_of(result),
            f"fall of the take after the first count, {what_of(result)}",
            result.table,
        )
        for result in falls.values()
        if not result.table.empty
    ]
    if not failures.table.empty:
        what = "dead later of those that took, by relation, each season"
        tables.append(("later_failures_by_relation", what, failures.table))
    return tuple(tables)
