"""Trays worth a look, seasons gone by and what moved together, read aloud."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    column_words,
    count_of,
    level_text,
    listing,
    percent,
    percent_interval,
    trays_words,
    whole,
)
from takestats.wording.said import factor_words

Row = Mapping[str, Any]


def odd_trays_note(trays: int, rare: float) -> str:
    """Say how trays were picked."""
    return (
        f"Listed: trays whose count, or one further out, has a chance below {percent(rare)} in "
        f"their own group; among {count_of(trays, 'tray')} about {2.0 * rare * trays:.1f} would be "
        "listed by chance alone."
    )


def odd_trays_sentences(
    rows: Sequence[Row], trays: int, rare: float, trays_recorded: bool
) -> tuple[str, ...]:
    """Read the odd trays aloud."""
    if not trays_recorded:
        return ("Trays to look at: not recorded.",)
    if not rows:
        return (f"Trays to look at: none of {trays} lies far from its group.",)
    return tuple(
        f"Look at tray {row['tray_id']}: {whole(row['taken'])} of {whole(row['tried'])} took, "
        f"{percent(row['expected_rate'])} expected of its group."
        for row in rows
    )


def history_sentences(rows: Sequence[Row], columns: Sequence[str], level: float) -> tuple[str, ...]:
    """Read earlier seasons aloud."""
    said = []
    for row in rows:
        who = ", ".join(level_text(row[column]) for column in columns)
        who = f", {who}" if who else ""
        said.append(
            f"Season {row['season']}{who}: "
            f"{percent_interval(row['raw_rate'], row['raw_low'], row['raw_high'], level)}, "
            f"raw, {whole(row['taken'])} of {whole(row['tried'])} in "
            f"{trays_words(row['trays'])}."
        )
    return tuple(said)


HISTORY_NOTE = (
    "Raw takes, each season by itself, limits by the quick closed form; shown as history, "
    "not as a test: seasons differ in weather, wood, stock and hands at once."
)


def confounding_sentence(factor: str, level: str, other: str, other_level: str, trays: int) -> str:
    """Say that one level stands wholly within one level of something else."""
    return (
        f"Every tray of {level_text(level)} ({factor_words(factor)}) has {factor_words(other)} "
        f"{level_text(other_level)} ({count_of(trays, 'tray')}): these records cannot tell "
        f"{factor_words(factor)} from {factor_words(other)} there."
    )


def confounding_summary(pairs: Sequence[tuple[str, str]]) -> str:
    """Say what moves together, or that nothing does."""
    if not pairs:
        return "No level of one column stands wholly within one level of another."
    said = [f"{column_words(a)} with {column_words(b)}" for a, b in pairs]
    return f"Moving together, wholly or in part: {listing(said)}."
