"""Rates, differences and odds ratios read aloud, and what their notes say."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    column_words,
    count_of,
    level_text,
    level_words,
    listing,
    odds,
    percent_interval,
    points,
    points_interval,
    trays_words,
    whole,
)

Row = Mapping[str, Any]
_WIDE = 0.30


def _who(row: Row, columns: Sequence[str]) -> str:
    return ", ".join(level_text(row[column]) for column in columns) if columns else "All grafts"


def rate_sentences(rows: Sequence[Row], columns: Sequence[str], level: float) -> tuple[str, ...]:
    """Read takes aloud, a sentence each."""
    said = []
    for row in rows:
        take = percent_interval(row["take_rate"], row["low"], row["high"], level)
        behind = f"{trays_words(row['trays'])}, {count_of(row['grafts'], 'graft')}"
        said.append(f"{_who(row, columns)}: {take} from {behind}.")
    return tuple(said)


def _averaged(averaged: Sequence[str], weights: str) -> str:
    if not averaged:
        return "Nothing else in the model to average over."
    mix = "grafts" if weights == "grafts" else "trays"
    names = listing([column_words(name) for name in averaged])
    return f"Averaged over {names}, at the mix of {mix} in these records."


def _held(at: Mapping[str, str] | None, over: Mapping[str, Any] | None) -> list[str]:
    notes = []
    if at:
        parts = [f"{column_words(name)} {level_text(level)}" for name, level in at.items()]
        notes.append(f"Held at: {listing(parts)}.")
    if over:
        parts = []
        for name, wanted in over.items():
            levels = [wanted] if isinstance(wanted, str) else list(wanted)
            parts.append(f"{column_words(name)} {listing([level_text(x) for x in levels])}")
        notes.append(f"Averaged over these lines only: {listing(parts)}.")
    return notes


def _lacking(lacking: Sequence[str]) -> list[str]:
    if not lacking:
        return []
    return [
        "Not estimable here, and not averaged over: no trays of "
        + "; ".join(level_text(cell) for cell in lacking)
        + "."
    ]


def rate_notes(
    averaged: Sequence[str],
    weights: str,
    level: float,
    lacking: Sequence[str],
    at: Mapping[str, str] | None,
    over: Mapping[str, Any] | None,
) -> tuple[str, ...]:
    """Say how takes were averaged."""
    return (
        f"Take as a proportion; posterior median with {level_words(level)}.",
        _averaged(averaged, weights),
        *_held(at, over),
        *_lacking(lacking),
    )


def _trays_against(a: float, b: float) -> str:
    said = trays_words(a)
    return said if math.isnan(a) else f"{said} against {whole(b)}"


def difference_sentence(row: Row, within: Sequence[str], level: float) -> str:
    """Read one difference aloud, A minus B, and say what it cannot tell."""
    a, b = level_text(row["level_a"]), level_text(row["level_b"])
    gap, low, high = float(row["difference"]), float(row["low"]), float(row["high"])
    prefix = f"{_who(row, within)}: " if within else ""
    behind = (
        f"{_trays_against(row['trays_a'], row['trays_b'])}, "
        f"{count_of(row['grafts_a'], 'graft')} against {row['grafts_b']:,.0f}"
    )
    said = f"{prefix}{a} minus {b}: {points_interval(gap, low, high, level)}; {behind}."
    width = high - low
    if low <= 0.0 <= high:
        if width > _WIDE:
            return f"{said} These trays cannot tell them apart; more trays are needed."
        return f"{said} The interval holds 0: no difference was shown, nor ruled out."
    better, worse = (a, b) if gap > 0.0 else (b, a)
    if width > _WIDE:
        return (
            f"{said} {_sentence_start(better)} took better than {worse}; by how much is not known "
            f"to within {points(width)}."
        )
    return f"{said} {_sentence_start(better)} took better than {worse}."


def _sentence_start(text: str) -> str:
    return text[:1].upper() + text[1:]


def difference_sentences(
    rows: Sequence[Row], within: Sequence[str], level: float
) -> tuple[str, ...]:
    """Read differences aloud, a sentence each."""
    return tuple(difference_sentence(row, within, level) for row in rows)


def difference_notes(
    averaged: Sequence[str],
    weights: str,
    level: float,
    lacking: Sequence[str],
    multiple: str,
    pairs: int,
    at: Mapping[str, str] | None,
    over: Mapping[str, Any] | None,
) -> tuple[str, ...]:
    """Say how differences were made."""
    adjusted = (
        f"Tail areas adjusted over {count_of(pairs, 'pair')} (Holm)"
        if multiple == "holm"
        else "Tail areas not adjusted for the number of pairs"
    )
    return (
        f"A minus B as a difference of proportions; posterior median with {level_words(level)}.",
        _averaged(averaged, weights),
        *_held(at, over),
        *_lacking(lacking),
        f"{adjusted}; the limits are not adjusted.",
    )


def odds_sentences(
    rows: Sequence[Row], within: Sequence[str], kind: str, level: float
) -> tuple[str, ...]:
    """Read odds ratios aloud."""
    name = "averaged over trays" if kind == "averaged" else "in the same tray"
    said = []
    for row in rows:
        prefix = f"{_who(row, within)}: " if within else ""
        low = "no lower bound" if row["low"] == 0.0 else odds(row["low"])
        said.append(
            f"{prefix}odds of {level_text(row['level_a'])} against {level_text(row['level_b'])}, "
            f"{name}: {odds(row['odds_ratio'])} ({level_words(level)} {low} to "
            f"{odds(row['high'])})."
        )
    return tuple(said)


def odds_notes(kind: str, level: float, lacking: Sequence[str]) -> tuple[str, ...]:
    """Say what odds these are."""
    if kind == "averaged":
        what = "Odds ratio of the two takes averaged over trays: odds of A divided by odds of B"
    else:
        what = (
            "Odds ratio of two grafts that share a tray (conditional on the tray), "
            "from the logit-normal parts alone"
        )
    return (f"{what}; {level_words(level)}.", *_lacking(lacking))


def rule_of_three(trays: int) -> str:
    """Say how many bad trays could have been missed.

    Examples
    --------
    >>> rule_of_three(12)
    'No tray failed badly; up to 3 in 12 trays could and not have shown.'
    """
    return f"No tray failed badly; up to 3 in {trays} trays could and not have shown."
