"""What does the season look like in detail: tables and charts, history, what was set aside?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.pages.bench_part import (
    confounded_lines,
    count_dates,
    odd_trays_of,
    rates_caption,
)
from takestats.pages.parts import Block, Cells, Points, Section, Words
from takestats.pages.shown import (
    gaps_cells,
    gaps_picture,
    history_cells,
    history_picture,
    rates_cells,
    raw_cells,
    slug,
    takes_picture,
    text_cells,
)
from takestats.wording.numbers import column_words, percent, whole
from takestats.wording.season import NO_TRAY_STANDS_OUT
from takestats.wording.sections import (
    BOTH_SHARES,
    HISTORY,
    NO_CONFOUNDING,
    NO_HISTORY,
    NOTHING_CHANGED,
    NOTHING_TO_REPORT,
    NOTHING_WAITS,
    ODD_TRAYS,
    RAW_BESIDE,
    apart_line,
    counted_line,
)

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered


def season_sections(found: Gathered, marker: str) -> tuple[Section, ...]:
    """Everything of the second part of the page, in order."""
    sections = [*_takes(found, marker), *_differences(found, marker), _raw(found)]
    sections += [_odd(found), _history(found, marker), _confounded(found)]
    sections += [_waiting(found), _problems(found), _changes(found)]
    return tuple(section for section in sections if section is not None)


def _takes(found: Gathered, marker: str) -> list[Section]:
    sections = []
    for factor, rates in found.rates.items():
        blocks: list[Block] = [
            Words(text=counted_line(found.model.count or "", count_dates(found)))
        ]
        if factor in found.chosen.apart:
            blocks.append(Words(text=apart_line(factor)))
        blocks += [
            takes_picture(rates, found.models[factor], factor, marker),
            rates_cells(rates, factor, caption=rates_caption(found, factor)),
            Words(text=BOTH_SHARES),
        ]
        sections.append(_section(f"take-by-{slug(factor)}", f"Take by {_name(factor)}", blocks))
    return sections


def _differences(found: Gathered, marker: str) -> list[Section]:
    sections = []
    for factor, result in found.gaps.items():
        blocks: list[Block] = [
            gaps_picture(result, factor, marker),
            gaps_cells(result, factor, caption=f"Differences between levels of {_name(factor)}"),
        ]
        sections.append(
            _section(f"difference-by-{slug(factor)}", f"Differences by {_name(factor)}", blocks)
        )
    return sections


def _raw(found: Gathered) -> Section | None:
    if not found.rates:
        return None
    blocks: list[Block] = [Words(text=RAW_BESIDE)]
    blocks += [
        raw_cells(rates, factor, caption=f"Raw beside compared, by {_name(factor)}")
        for factor, rates in found.rates.items()
    ]
    return _section("raw-beside", "Raw beside compared", blocks)


def _odd(found: Gathered) -> Section:
    trays = odd_trays_of(found)
    if not trays:
        return _section("odd-trays", "Trays to look at", [Words(text=NO_TRAY_STANDS_OUT)])
    table = Cells(
        caption="Trays far from their group",
        header=("tray", "took", "expected", "side"),
        rows=tuple(
            (t.tray, f"{whole(t.taken)} of {whole(t.tried)}", percent(t.expected), t.side)
            for t in trays
        ),
        numbers=(False, True, True, False),
    )
    return _section("odd-trays", "Trays to look at", [table, Words(text=ODD_TRAYS)])


def _history(found: Gathered, marker: str) -> Section:
    if not found.history:
        return _section("history", "Earlier seasons", [Words(text=NO_HISTORY)])
    blocks: list[Block] = [Words(text=HISTORY)]
    for index, (factor, result) in enumerate(found.history.items()):
        if result.table.empty:
            continue
        if index == 0:
            blocks.append(history_picture(result, factor, marker))
        blocks.append(
            history_cells(result, factor, caption=f"Raw take by {_name(factor)} and season")
        )
    return _section("history", "Earlier seasons", blocks)


def _confounded(found: Gathered) -> Section:
    lines = confounded_lines(found)
    block: Block = Points(items=tuple(lines)) if lines else Words(text=NO_CONFOUNDING)
    return _section("seen-together", "What was given together", [block])


def _waiting(found: Gathered) -> Section:
    heading = "Not counted yet"
    if found.waiting.empty:
        return _section("not-counted", heading, [Words(text=NOTHING_WAITS)])
    columns = ("tray_id", "season", "combination", "method", "graft_date", "grafted")
    table = text_cells(
        found.waiting, columns, caption="Trays without a count", where="not_counted_yet"
    )
    return _section("not-counted", heading, [table])


def _problems(found: Gathered) -> Section:
    records = found.records
    blocks: list[Block] = []
    if not records.problems.empty:
        columns = ("kind", "file", "sheet", "row", "column", "value", "rule", "next_step")
        blocks.append(
            text_cells(records.problems, columns, caption="Faults and queries", where="problems")
        )
    if not records.set_aside.empty:
        kept = [str(name) for name in records.set_aside.columns]
        first = [name for name in ("file", "row", "tray", "reason") if name in kept]
        blocks.append(
            text_cells(
                records.set_aside, first or kept[:6], caption="Rows set aside", where="set_aside"
            )
        )
    left_out = found.model.left_out
    if not left_out.empty:
        blocks.append(
            text_cells(
                left_out,
                tuple(str(name) for name in left_out.columns),
                caption="Lines left out of the comparison",
                where="left_out",
            )
        )
    if not blocks:
        blocks.append(Words(text=NOTHING_TO_REPORT))
    return _section("problems", "Problems and rows set aside", blocks)


def _changes(found: Gathered) -> Section:
    changes = found.records.changes
    blocks: list[Block] = []
    if found.records.notes:
        blocks.append(Points(items=tuple(found.records.notes)))
    if changes.empty:
        blocks.append(Words(text=NOTHING_CHANGED))
    else:
        blocks.append(
            text_cells(
                changes.groupby(["column", "typed", "became", "why"], sort=True, dropna=False)
                .size()
                .rename("rows")
                .reset_index(),
                ("column", "typed", "became", "why", "rows"),
                caption="As typed, and as read",
                where="changes",
            )
        )
    return _section("changes", "Changes made in reading", blocks)


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="season", blocks=tuple(blocks))


def _name(factor: str) -> str:
    return column_words(factor)
