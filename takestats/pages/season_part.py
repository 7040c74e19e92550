"""What does the season look like in detail: tables and charts, history, what was set aside?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from takestats.pages.bench_limits import trays_can_stand_out
from takestats.pages.bench_part import (
    confounded_lines,
    count_dates,
    odd_trays_of,
    rates_caption,
)
from takestats.pages.cells import gaps_cells, history_cells, rates_cells, raw_cells, text_cells
from takestats.pages.given import given_blocks
from takestats.pages.layer_cells import expected_cells, held_cells, shrunk_cells
from takestats.pages.parts import Block, Cells, Points, Section, Words
from takestats.pages.pictures import (
    MOST_LEVELS_DRAWN,
    MOST_PARTS,
    history_pictures,
)
from takestats.pages.records_part import changes_section, problem_blocks
from takestats.pages.rows import slug
from takestats.pages.topics import topic_sections
from takestats.wording.bench_trays import NO_TRAY_STANDS_OUT, TOO_FEW_TO_STAND_OUT
from takestats.wording.held import strata_name
from takestats.wording.numbers import percent, whole
from takestats.wording.said import factor_words
from takestats.wording.sections import (
    BOTH_SHARES,
    CARRIED,
    EXPECTED,
    HISTORY,
    INSIDE,
    NO_CONFOUNDING,
    NO_HISTORY,
    NOTHING_TO_REPORT,
    NOTHING_WAITS,
    ODD_TRAYS,
    RAW_BESIDE,
    SHRUNK,
    apart_line,
    counted_line,
    inside_caption,
    not_shrunk_line,
    too_many_pairs_line,
    undrawn_line,
)

if TYPE_CHECKING:
    from takestats.answers.expected_take import ExpectedTake
    from takestats.pages.gathered import Gathered
    from takestats.pages.topic import Topic


def season_sections(
    found: Gathered, marker: str, topics: Mapping[str, Topic]
) -> tuple[Section, ...]:
    """Everything of the second part of the page, in order."""
    sections: list[Section | None] = [*topic_sections(topics, "season", first=True)]
    sections += [_factor(found, factor) for factor in found.rates]
    sections += [
        _inside(found),
        _raw(found),
        _shrunk(found),
        *topic_sections(topics, "season", first=False),
        _odd(found),
        _history(found, marker),
        _confounded(found),
    ]
    sections += [_waiting(found), _problems(found)]
    sections.append(changes_section(found.records.changes, found.records.notes))
    return tuple(section for section in sections if section is not None)


def _factor(found: Gathered, factor: str) -> Section:
    """Takes and differences of one factor."""
    rates = found.rates[factor]
    blocks: list[Block] = []
    if factor == next(iter(found.rates)):
        blocks.append(Words(text=counted_line(found.model.count or "", count_dates(found))))
    if factor in found.chosen.apart:
        blocks.append(Words(text=apart_line(factor)))
    blocks += found.pictures[factor].takes
    undrawn = len(rates.table) - MOST_LEVELS_DRAWN * MOST_PARTS
    if undrawn > 0:
        blocks.append(Words(text=undrawn_line(factor, undrawn)))
    blocks += [
        rates_cells(rates, factor, caption=rates_caption(found, factor)),
    ]
    if factor == next(iter(found.rates)):
        blocks.append(Words(text=BOTH_SHARES))
    if factor in found.gaps:
        result = found.gaps[factor]
        caption = f"Differences between levels of {factor_words(factor)}"
        blocks += found.pictures[factor].gaps
        blocks.append(gaps_cells(result, factor, caption=caption))
    else:
        blocks.append(Words(text=too_many_pairs_line(factor, len(rates.table))))
    return _section(f"by-{slug(factor)}", f"By {factor_words(factor)}", blocks)


def _inside(found: Gathered) -> Section | None:
    """The difference inside each stratum that was asked for."""
    held = found.held
    if held is None:
        return None
    name = strata_name(held.within)
    blocks: list[Block] = [
        Words(text=INSIDE),
        held_cells(held, caption=inside_caption(held.by, name)),
        Points(items=held.sentences),
    ]
    return _section("inside", f"Inside each {name}", blocks)


def _shrunk(found: Gathered) -> Section | None:
    """Each combination drawn to the mean of all, its own take beside it, and a new one."""
    if found.shrunk is None:
        if not found.not_shrunk:
            return None
        words: Block = Words(text=not_shrunk_line(found.not_shrunk))
        return _section("combinations", "Combinations, heard together", [words])
    caption = "Shrunk and unshrunk take by combination"
    blocks: list[Block] = [
        shrunk_cells(found.shrunk, caption=caption, where="take_by_combination_shrunk"),
        Words(text=SHRUNK),
        Words(text=found.shrunk.sentences[-1]),
    ]
    return _section("combinations", "Combinations, heard together", blocks)


def _raw(found: Gathered) -> Section | None:
    if not found.rates:
        return None
    table = raw_cells(found.rates, caption="Raw beside compared")
    return _section("raw-beside", "Raw beside compared", [Words(text=RAW_BESIDE), table])


def _odd(found: Gathered) -> Section:
    trays = odd_trays_of(found)
    if not trays_can_stand_out(found):
        return _section("odd-trays", "Trays to look at", [Words(text=TOO_FEW_TO_STAND_OUT)])
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
    shown = [factor for factor in (found.main, "combination") if factor in found.history]
    for factor in dict.fromkeys(shown):
        result = found.history[factor]
        if result.table.empty:
            continue
        if factor == found.main:
            blocks += history_pictures(result, factor, marker)
        caption = f"Raw take by {factor_words(factor)} and season"
        blocks.append(history_cells(result, factor, caption=caption))
    return _section("history", "Earlier seasons", [*blocks, *_story(found)])


def _story(found: Gathered) -> list[Block]:
    """The main difference season by season, and the season to come."""
    story = found.story
    if story is None:
        return []
    blocks: list[Block] = [Words(text=CARRIED)]
    blocks += [Points(items=story.said)] if story.said else []
    if story.held is not None:
        blocks.append(held_cells(story.held, caption=inside_caption(story.held.by, "season")))
        blocks.append(Points(items=story.held.sentences))
    result = story.by_combination or story.overall
    if story.by_combination is not None:
        caption = "The next season, by combination"
        where = "next_season_by_combination"
        blocks.append(expected_cells(story.by_combination, caption=caption, where=where))
    blocks.append(Words(text=EXPECTED))
    blocks.append(Points(items=(*story.overall.sentences, *_assumed(result))))
    return blocks


def _assumed(result: ExpectedTake) -> tuple[str, ...]:
    """What the spread between seasons rests on: the notes after the first."""
    table = result.table
    kinds = 1 if table["pooled"].any() else table["seasons"].clip(upper=2).nunique()
    notes = [note for note in result.notes[1:] if not note.startswith("No trays recorded")]
    return tuple(notes[:kinds])


def _confounded(found: Gathered) -> Section:
    lines = confounded_lines(found)
    block: Block = Points(items=tuple(lines)) if lines else Words(text=NO_CONFOUNDING)
    return _section("seen-together", "What was given together", [*given_blocks(found), block])


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
    blocks = problem_blocks(found.records.problems, found.records.set_aside)
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


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="season", blocks=tuple(blocks))
