"""How is the fall from the first count to a later one read aloud?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    count_of,
    level_text,
    level_words,
    percent_number,
    points,
    points_number,
    trays_words,
)
from takestats.wording.said import count_name
from takestats.wording.stages import dates_of

Row = Mapping[str, Any]

STORED_FOOD = (
    "A first count can be too high: buds push on food stored in the scion before the union carries "
    "anything, and die when it is used up."
)


def first_notes(count: str, level: float) -> tuple[str, ...]:
    """Say how the fall from the first count was made."""
    return (
        f"Take at the first count less take at the {count_name(count)}, tray by tray, trays "
        f"weighing as their grafts; {level_words(level)} by the quick closed form on the share of "
        "grafts that fell. Only trays that record both counts.",
        STORED_FOOD,
    )


def fall_words(fall: float, low: float, high: float) -> str:
    """Say a fall in points with its limits.

    Examples
    --------
    >>> fall_words(0.05, 0.03, 0.08)
    '5 points (3 to 8)'
    """
    return f"{points(fall)} ({points_number(low)} to {points_number(high)})"


def first_sentences(
    rows: Sequence[Row], label: str, named: bool, count: str, level: float
) -> tuple[str, ...]:
    """Read the fall from the first count aloud."""
    said = []
    for row in rows:
        who = f", {level_text(row[label])}" if named else ""
        season = f"Season {row['season']}{who}: " if row["season"] else f"{who[2:]}: "
        if row["trays"] == row["trays"]:
            where = f"in the {trays_words(row['trays'])} that record both"
        else:
            where = "trays not recorded"
        text = (
            f"{season if row['season'] or who else ''}take {percent_number(row['first_share'])} % "
            f"at the first count ({dates_of(row)}), {percent_number(row['share'])} % at the "
            f"{count_name(count)} ({dates_of(row, 'settled_first_date', 'settled_last_date')}): "
            f"{fall_words(row['fall'], row['low'], row['high'])} lower, {level_words(level)}, "
            f"{where}, {count_of(row['grafts'], 'graft')}."
        )
        if row["rose_trays"] and row["rose_trays"] == row["rose_trays"]:
            text += (
                f" {count_of(row['rose_trays'], 'tray')} stood higher at the later count, through "
                "missing grafts or a recount."
            )
        said.append(text)
    return tuple(said)
