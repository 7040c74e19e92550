"""Where did the trays stand, and how far may two of them part?"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from takestats.answers.tray_pairs import tray_pairs
from takestats.answers.tray_places import tray_places
from takestats.charts.bench_map import Tray, bench_map, bench_sheets
from takestats.pages.bench_limits import trays_can_stand_out
from takestats.pages.parts import Block, Cells, Picture, Section, Words
from takestats.pages.rows import number, rows_of
from takestats.pages.topic import Topic
from takestats.wording.numbers import whole
from takestats.wording.tray_map import (
    BENCHES_CAPTION,
    BENCHES_HEADER,
    MAP_HEADING,
    PAIRS_TABLE,
    PLACES_TABLE,
    bench_name,
    rest_line,
)

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.pages.gathered import Gathered

MOST_CHARTS = 3


def trays_topic(found: Gathered, marker: str, say: Callable[[str], None]) -> Topic | None:
    """Trays in their places, and two trays treated alike.

    Parameters
    ----------
    found : Gathered
    marker : str
        For the charts.
    say : callable
        Told what is being done.

    Returns
    -------
    Topic or None
        None where no trays are recorded.
    """
    if found.records.no_trays:
        return None
    say("trays in their places")
    pairs = tray_pairs(found.model)
    places = tray_places(found.whole, found.odd)
    judged = trays_can_stand_out(found)
    table = places.table
    if not judged:
        table["side"] = ""
    blocks: list[Block] = [Words(text=line) for line in (*pairs.sentences, *places.sentences)]
    if len(table):
        sheets, rest = bench_sheets(_trays(table), MOST_CHARTS)
        if rest:  # not all can be drawn: those with the most trays to look at
            sheets, rest = bench_sheets(_trays(_oddest_first(table)), MOST_CHARTS)
        blocks += [
            Picture(
                draw=partial(
                    bench_map,
                    sheet,
                    name=f"bench-map{f'-{index}' if index else ''}",
                    judged=judged,
                    marker=marker,
                )
            )
            for index, sheet in enumerate(sheets)
        ]
        if rest:
            blocks.append(Words(text=rest_line(rest, len(sheets))))
        blocks.append(_benches(table))
    section = Section(key="bench-map", heading=MAP_HEADING, part="season", blocks=tuple(blocks))
    tables = [("tray_pairs", PAIRS_TABLE, pairs.table)]
    if len(table):
        tables.append(("tray_places", PLACES_TABLE, table))
    own = (pairs.notes[0], *(places.notes[:1] if len(table) else ()))
    return Topic(sections=(section,), tables=tuple(tables), notes=own)


def _oddest_first(table: DataFrame) -> DataFrame:
    """Benches with the most trays far from their group first, trays in their order."""
    odd = (table["side"] != "").groupby(table["bench"].astype(str)).transform("sum")
    return table.assign(odd=-odd).sort_values("odd", kind="stable").drop(columns="odd")


def _trays(table: DataFrame) -> list[Tray]:
    return [
        Tray(
            str(row["bench"]),
            str(row["row"]),
            None if math.isnan(place := number(row["place"])) else int(place),
            str(row["position"]),
            str(row["tray_id"]),
            number(row["taken"]),
            number(row["tried"]),
            str(row["side"]),
        )
        for row in rows_of(table)
    ]


def _benches(table: DataFrame) -> Cells:
    """What took on each bench, trays far from their group named."""
    rows = []
    for bench in table["bench"].drop_duplicates():
        mine = table[table["bench"] == bench]
        odd = [f"{row['tray_id']} ({row['side']})" for row in rows_of(mine[mine["side"] != ""])]
        took = f"{whole(mine['taken'].sum())} of {whole(mine['tried'].sum())}"
        rows.append((bench_name(str(bench)), whole(len(mine)), took, ", ".join(odd)))
    return Cells(
        caption=BENCHES_CAPTION,
        header=BENCHES_HEADER,
        rows=tuple(rows),
        numbers=(False, True, True, False),
    )
