"""What became of each combination: made, dead, taken, later, saleable, wanted, short?"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from takestats.answers.combination_tally import CombinationTally, combination_tally
from takestats.pages.parts import Block, Cells, Section, Words
from takestats.pages.rows import number, rows_of
from takestats.pages.topic import Topic
from takestats.wording.charts import take_value
from takestats.wording.combination_tally import graded_words, last_words, took_caption, wanted_lines
from takestats.wording.numbers import NOT_RECORDED, level_text, whole
from takestats.wording.said import dates_words

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered

KEY = "per-combination"


def combinations_topic(found: Gathered, marker: str, say: Callable[[str], None]) -> Topic | None:
    """Two tables: what was made and took, and what there is to sell.

    Parameters
    ----------
    found : Gathered
    marker, say
        As for every topic.

    Returns
    -------
    Topic or None
        None where no combination is recorded.
    """
    if found.trays["combination"].isna().all() and not found.records.trial.targets:
        return None
    say("what became of each combination")
    tally = combination_tally(found.records, found.season)
    if tally.table.empty:
        return None
    blocks: list[Block] = [_took(tally), Words(text=tally.notes[0]), _to_sell(tally)]
    blocks += [Words(text=note) for note in tally.notes[1:]]
    wanted = [row for row in rows_of(tally.table) if not math.isnan(row["wanted"])]
    section = Section(
        key=KEY, heading="Combination by combination", part="season", blocks=tuple(blocks)
    )
    what = "what became of each combination, counted and not modelled"
    return Topic(
        sections=(section,),
        tables=(("per_combination", what, tally.table),),
        notes=tally.notes,
        bench=tuple(wanted_lines(wanted, dates_words(found.whole.count_dates))),
    )


def _took(tally: CombinationTally) -> Cells:
    header = (
        "combination", "trays", "made", "understock dead", "missing", "taken",
        "of made", "of live understock",
    )  # fmt: skip
    rows = []
    for row in rows_of(tally.table):
        name = level_text(row["combination"])
        rows.append(
            (
                name,
                *(whole(number(row[c])) for c in ("trays", "grafted")),
                *(whole(number(row[c])) for c in ("understock_dead", "missing", "taken")),
                _take(row["take_of_made"], row["made_low"], row["made_high"]),
                _take(row["take_of_live"], row["live_low"], row["live_high"]),
            )
        )
    return Cells(
        caption=took_caption(tally.season),
        header=header,
        rows=tuple(rows),
        numbers=(False, *(True,) * 7),
    )


def _to_sell(tally: CombinationTally) -> Cells:
    last = f"season {tally.last_season}, raw" if tally.last_season else "last season"
    return Cells(
        caption="What there is to sell, and the season before",
        header=("combination", "taken", "alive later", "saleable", "wanted", "short", last),
        rows=tuple(
            (
                level_text(row["combination"]),
                whole(number(row["taken"])),
                graded_words(row["alive_later"], number(row["alive_later_trays"]), row["trays"]),
                graded_words(row["saleable"], number(row["saleable_trays"]), row["trays"]),
                "not set" if math.isnan(row["wanted"]) else whole(row["wanted"]),
                "not set" if math.isnan(row["wanted"]) else whole(row["short"]),
                last_words(row),
            )
            for row in rows_of(tally.table)
        ),
        numbers=(False, *(True,) * 6),
    )


def _take(rate: float, low: float, high: float) -> str:
    return NOT_RECORDED if math.isnan(rate) else take_value(rate, low, high)
