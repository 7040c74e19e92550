"""What does a grower read at the bench, on one sheet?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from takestats.pages.bench_differences import difference_lines, inside_lines, missing_matters
from takestats.pages.bench_limits import (
    too_few_lines,
    trays_can_stand_out,
)
from takestats.pages.bench_worth import below_what_pays
from takestats.pages.cells import short_rates_cells
from takestats.pages.given import drawn_factors
from takestats.pages.parts import Points, Section
from takestats.pages.rows import number, overall_take, rows_of, slug
from takestats.wording.bench_trays import (
    OddTray,
    odd_trays_line,
)
from takestats.wording.combination_tally import last_season_line
from takestats.wording.compared import (
    more_together_line,
)
from takestats.wording.layer_answers import whole_units_line
from takestats.wording.said import dates_words, opened, short_names, shortened
from takestats.wording.season import (
    GROUP_ASKED,
    GROUP_CARE,
    GROUP_DIFFERENCES,
    GROUP_NEXT,
    GROUP_TAKE,
    GROUP_TOO_FEW,
    GROUP_TRAYS,
    GROUP_WANTED,
    blank_lines_line,
    early_count,
    missing_line,
    next_season_line,
    not_counted_line,
    overall,
    randomised_words,
    set_aside_line,
)
from takestats.wording.sections import takes_caption

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered
    from takestats.pages.topic import Topic

LEVEL = 0.95
MOST_CONFOUNDED = 3
MOST_BENCH_ROWS = 9
#: Printed lines that one sheet of the smaller paper holds, and letters in one of them.
SHEET_LINES, LETTERS = 56, 112
#: Printed lines that the caption and head of a short table take.
TABLE_HEAD = 6
Groups = tuple[tuple[str, tuple[str, ...]], ...]


def bench_groups(found: Gathered, topics: Mapping[str, Topic]) -> Groups:
    """The season in plain sentences under short headings, in the order a grower asks.

    Parameters
    ----------
    found : Gathered
    topics : dict of str to Topic
        Some bring sentences.

    Returns
    -------
    tuple of (heading, sentences)
        No p-values and no odds ratios; groups without a sentence are left out.
    """
    odd = odd_trays_line(odd_trays_of(found)) if trays_can_stand_out(found) else None
    groups: list[tuple[str, list[str | None]]] = [
        (GROUP_ASKED, [_first(found), *_told(topics, "question")]),
        (GROUP_WANTED, [*_told(topics, "combinations")]),
        (
            GROUP_TAKE,
            [
                _overall(found),
                _last_season(found, topics),
                _missing(found),
                *_told(topics, "stages"),
            ],
        ),
        (
            GROUP_DIFFERENCES,
            [
                *difference_lines(found),
                *inside_lines(found),
                *missing_matters(found),
                *_told(topics, "further"),
                *_told(topics, "curves"),
            ],
        ),
        (GROUP_TRAYS, [*below_what_pays(found), odd]),
        (GROUP_TOO_FEW, [*too_few_lines(found), *whole_units(found), *found.chosen.said]),
        (GROUP_NEXT, _seasons(found)),
        (
            GROUP_CARE,
            [
                randomised_line(found),
                *confounded_main(found),
                not_counted_line(len(found.waiting)),
                set_aside_line(len(found.records.set_aside)),
            ],
        ),
    ]
    names = short_names(found.records.trial.names)
    said = [
        (name, tuple(opened(shortened(line, names)) for line in lines if line))
        for name, lines in groups
    ]
    return tuple((name, lines) for name, lines in said if lines)


def bench_sections(found: Gathered, groups: Groups) -> tuple[Section, ...]:
    """The bench sheet: the sentences under their headings, and a short table.

    Parameters
    ----------
    found : Gathered
    groups : tuple of (heading, sentences)
        From :func:`bench_groups`.
    """
    sections = [
        Section(
            key=f"bench-{slug(heading)}",
            heading=heading,
            part="bench",
            blocks=(Points(items=said),),
        )
        for heading, said in groups
    ]
    room = min(MOST_BENCH_ROWS, SHEET_LINES - _printed_lines(groups) - TABLE_HEAD)
    for factor in ("combination", found.main):
        if factor in found.rates and len(found.rates[factor].table) <= room:
            caption = rates_caption(found, factor)
            table = short_rates_cells(found.rates[factor], factor, caption=caption)
            sections.append(Section(key="bench-table", heading="", part="bench", blocks=(table,)))
            break
    return tuple(sections)


def _printed_lines(groups: Groups) -> int:
    """How many lines the sentences take up when printed; a heading takes two."""
    return sum(2 + sum(1 + len(said) // LETTERS for said in lines) for _, lines in groups)


def rates_caption(found: Gathered, factor: str) -> str:
    """Caption of a table of takes."""
    others = [name for name in found.models[factor].factors if name != factor]
    return takes_caption(factor, others, found.season)


def odd_trays_of(found: Gathered) -> list[OddTray]:
    """The trays to look at."""
    return [
        OddTray(
            str(row["tray_id"]),
            number(row["taken"]),
            number(row["tried"]),
            number(row["expected_rate"]),
            str(row["side"]),
        )
        for row in rows_of(found.odd.table)
    ]


def confounded_lines(found: Gathered) -> list[str]:
    """What was given together and cannot be told apart."""
    return list(found.confounded.sentences) if len(found.confounded.table) else []


def confounded_main(found: Gathered) -> list[str]:
    """The same for the bench, the main question first; a long rest stands further down."""
    lines = confounded_lines(found)
    rows = rows_of(found.confounded.table)
    main = [said for said, row in zip(lines, rows, strict=True) if row["factor"] == found.main]
    shown = [*main, *(said for said in lines if said not in main)][:MOST_CONFOUNDED]
    rest = len(lines) - len(shown)
    return [*shown, more_together_line(rest)] if rest else shown


def randomised_line(found: Gathered) -> str | None:
    """Whether more may be said than that things were seen together."""
    if not found.gaps:
        return None
    drawn = drawn_factors(found)
    others = len(found.gaps) > len(drawn)
    return randomised_words(found.asked.randomised, drawn, others, layout=found.records.layout)


def count_dates(found: Gathered) -> str:
    """When the trays of the season were counted, in words."""
    return dates_words(found.model.count_dates)


def _told(topics: Mapping[str, Topic], name: str) -> tuple[str, ...]:
    """The sentences of a topic for the bench."""
    return topics[name].bench if name in topics else ()


def _last_season(found: Gathered, topics: Mapping[str, Topic]) -> str | None:
    """The season before, raw, as history."""
    if not topics or found.last is None:
        return None
    row = found.last
    return last_season_line(
        str(row["season"]),
        (number(row["taken"]), number(row["tried"]), number(row["trays"])),
        (row["raw_rate"], row["raw_low"], row["raw_high"]),
    )


def _overall(found: Gathered) -> str:
    grafted = number(rows_of(found.overall.table)[0]["grafted"])
    return overall(
        season=found.season,
        take=overall_take(found.overall),
        grafted=grafted,
        count=found.model.count or "",
        count_date=dates_words(found.whole.count_dates),
        level=LEVEL,
        live=found.asked.out_of == "live_understock",
    )


def _first(found: Gathered) -> str | None:
    """What must be known before any number: an early count, many blanks."""
    said = [early_count(found.model.count), _blanks(found)]
    return " ".join(line for line in said if line) or None


def _blanks(found: Gathered) -> str | None:
    """Lines that the model left out because a used column is blank."""
    left = found.model.left_out
    blanks = left[left["reason"] == "blank"]
    named = [(str(c), int(n)) for c, n in zip(blanks["column"], blanks["lines"], strict=True)]
    return blank_lines_line(named, len(found.model.lines))


def _missing(found: Gathered) -> str | None:
    missing = number(rows_of(found.overall.table)[0]["missing"])
    return missing_line(missing, recorded=not math.isnan(missing))


def whole_units(found: Gathered) -> list[str]:
    """What was given to whole blocks or days, a sentence for each."""
    if found.layer is None:
        return []
    table = found.layer.table
    lines = []
    for factor in found.gaps:
        mine = table[(table["factor"] == factor) & table["whole"].astype(bool)]
        if len(mine):
            counts = [(str(row["level"]), int(row["units"])) for row in rows_of(mine)]
            lines.append(whole_units_line(factor, counts, found.layer.column))
    return lines


def _seasons(found: Gathered) -> list[str | None]:
    """Did the main difference hold from season to season, and what may the next one bring?"""
    story = found.story
    if story is None:
        return []
    row = rows_of(story.overall.table)[0]
    held = [] if story.held is None else list(story.held.sentences[:1])
    next_one = next_season_line(
        number(row["expected_take"]), number(row["low"]), story.overall.level, story.seasons
    )
    return [*held, next_one]
