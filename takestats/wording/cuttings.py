"""How are rooted cuttings read aloud beside grafts of the same scion?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    count_of,
    level_words,
    percent,
    percent_interval,
    percent_number,
    trays_words,
    whole,
)
from takestats.wording.stages import counted_on

Row = Mapping[str, Any]

SIDE_BY_SIDE = (
    "Cuttings and grafts stand side by side and are not compared: they are made at other times and "
    "of other wood, are counted on other days, and were not given to the plants by lot as far as "
    "these records say. They are never in one model."
)


def cutting_notes(level: float) -> tuple[str, ...]:
    """Say how rooted shares were made."""
    return (
        f"Rooted out of cuttings struck, missing ones left out; raw, {level_words(level)} by the "
        f"quick closed form. {SIDE_BY_SIDE}",
    )


def cutting_sentences(rows: Sequence[Row], level: float) -> tuple[str, ...]:
    """Read each scion's cuttings aloud, the grafts of the same scion after them."""
    said = []
    for row in rows:
        season = f", season {row['season']}" if row["season"] else ""
        share = percent_interval(row["rooted_share"], row["low"], row["high"], level)
        text = (
            f"Cuttings of {row['scion']}{season}: {whole(row['rooted'])} of "
            f"{count_of(row['struck'], 'cutting')} rooted in {trays_words(row['trays'])}, {share}, "
            f"{counted_on(row)}."
        )
        if math.isnan(row["take_rate"]):
            text += " No grafts of it were counted that season."
        else:
            dates = {"first_date": row["graft_first_date"], "last_date": row["graft_last_date"]}
            text += (
                f" Grafts of it that season: {whole(row['taken'])} of {whole(row['grafts'])} took "
                f"in {trays_words(row['graft_trays'])}, {percent(row['take_rate'])} "
                f"({percent_number(row['take_low'])} to {percent_number(row['take_high'])}), "
                f"{counted_on(dates)}."
            )
        said.append(text)
    return tuple(said)
