"""Two orders read aloud, side by side."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import count_of, percent, whole
from takestats.wording.order_told import chance_words

Row = Mapping[str, Any]


def change_notes(before: float, now: float) -> tuple[str, ...]:
    """Say at which assurance each was placed."""
    if before == now:
        return (f"Both orders: met in {chance_words(now)}.",)
    return (
        f"The earlier order was to be met in {chance_words(before)}, this one in "
        f"{chance_words(now)}: part of the change is that.",
    )


def change_sentences(rows: Sequence[Row]) -> tuple[str, ...]:
    """Say the change of the whole order, then of each combination."""
    old = sum(0.0 if math.isnan(row["grafts_before"]) else row["grafts_before"] for row in rows)
    new = sum(0.0 if math.isnan(row["grafts"]) else row["grafts"] for row in rows)
    return (
        f"The whole order: {_step(old, new)}.",
        *(f"{row['combination']}: {_one(row)}." for row in rows),
    )


def _step(old: float, new: float) -> str:
    if old == new:
        return f"{count_of(new, 'understock')}, as before"
    word = "more" if new > old else "fewer"
    by = f"{whole(abs(new - old))} {word} than the {whole(old)} before"
    return f"{count_of(new, 'understock')}, {by}"


def _one(row: Row) -> str:
    if math.isnan(row["grafts_before"]):
        return f"{count_of(row['grafts'], 'understock')}, not ordered before"
    if math.isnan(row["grafts"]):
        return f"no longer ordered; {count_of(row['grafts_before'], 'understock')} before"
    said = _step(row["grafts_before"], row["grafts"])
    why = []
    if row["wanted"] != row["wanted_before"]:
        why.append(f"{whole(row['wanted'])} plants wanted, {whole(row['wanted_before'])} before")
    if row["expected_take"] != row["expected_take_before"]:
        why.append(
            f"a new season is now expected to take {percent(row['expected_take'])}, "
            f"{percent(row['take_low'])} in a poor one; before "
            f"{percent(row['expected_take_before'])} and {percent(row['take_low_before'])}"
        )
    if row["past_seasons"] > row["past_seasons_before"]:
        more = count_of(row["past_seasons"] - row["past_seasons_before"], "season")
        why.append(f"{more} more on record")
    return "; ".join([said, *why])
