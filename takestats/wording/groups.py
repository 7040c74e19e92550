"""Groups of trays, new groups and new seasons read aloud, and what their notes say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    column_words,
    count_of,
    level_text,
    level_words,
    listing,
    percent,
    percent_interval,
    percent_number,
    trays_words,
)

Row = Mapping[str, Any]
_FAMILIES = ("beta-binomial", "logit-normal")
FEW_GROUPS = 5


def _deviation(value: float) -> str:
    return f"{value:.2f}"


def _weights(shares: Sequence[float]) -> str:
    parts = [f"{name} {percent(share)}" for name, share in zip(_FAMILIES, shares, strict=True)]
    return ", ".join(parts)


def grouped_notes(
    grouping: str, groups: int, shares: Sequence[float], *, trays_recorded: bool
) -> tuple[str, ...]:
    """Say how a grouping was worked out.

    Examples
    --------
    >>> grouped_notes("combination", 3, [0.4, 0.6], trays_recorded=True)[1]
    'combination has 3 levels: the spread between them rests on an assumed spread.'
    """
    name = column_words(grouping)
    if trays_recorded:
        how = f"averaged over tray models with weak priors (weights: {_weights(shares)})"
        notes = [f"Trays nested in {name}, on an exact grid, {how}."]
    else:
        notes = [
            "No trays recorded: grafts counted as if independent; the limits are too narrow "
            "if they are not.",
            f"Grafts nested in {name}, on an exact grid, weak priors.",
        ]
    if groups < FEW_GROUPS:
        notes.append(few_groups_note(grouping, groups))
    notes.append(
        f"Population: a new tray of any {name} like those observed, averaged over the spread "
        f"between trays and between levels of {name}."
    )
    return tuple(notes)


def few_groups_note(grouping: str, groups: int) -> str:
    """Say that the spread between groups rests on what was assumed."""
    return (
        f"{column_words(grouping)} has {count_of(groups, 'level')}: the spread between them "
        "rests on an assumed spread."
    )


def group_sentences(rows: Sequence[Row], grouping: str, level: float) -> tuple[str, ...]:
    """Read shrunk and unshrunk takes aloud, a sentence each."""
    said = []
    for row in rows:
        shrunk = percent_interval(row["take_rate"], row["low"], row["high"], level)
        own = percent_interval(
            row["unshrunk_take"], row["unshrunk_low"], row["unshrunk_high"], level
        )
        behind = f"{trays_words(row['trays'])}, {count_of(row['grafts'], 'graft')}"
        said.append(
            f"{level_text(row[grouping])}: {shrunk}, drawn {percent(row['shrunk_by'])} of the way "
            f"to the mean of all; from its own trays alone {own}; {behind}."
        )
    return tuple(said)


def new_group_sentence(grouping: str, row: Row, level: float) -> str:
    """Read the take of a group not yet seen aloud."""
    take = percent_interval(row["take_rate"], row["low"], row["high"], level)
    return f"A new {column_words(grouping)} of this kind, not yet tried: {take}."


def group_notes(
    grouping: str, level: float, between: tuple[float, float, float]
) -> tuple[str, ...]:
    """Say how shrunk takes are to be read."""
    name = column_words(grouping)
    middle, low, high = (_deviation(value) for value in between)
    return (
        f"Take as a proportion, averaged over trays; posterior median with {level_words(level)}.",
        "Shrunk takes are for ranking, for orders and for what was not tried yet. For a "
        f"{name} that somebody named, or the difference of two, read the unshrunk interval: the "
        "best and the worst of many are held less often by the shrunk one.",
        "Drawn to the mean: the share of a move of the mean, in log odds, that this take would "
        "follow; 0 % stands on its own trays, 100 % on the mean.",
        f"Spread between levels of {name}: standard deviation {middle} in log odds "
        f"({level_words(level)} {low} to {high}).",
    )


LONE_TRAYS_NOTE = (
    "One tray in every season: how much trays differ and how much seasons do cannot be told "
    "apart; the limits rest on the assumed ranges."
)


def unshrunk_notes(others: Sequence[str], seasons: Sequence[str]) -> tuple[str, ...]:
    """Say what the unshrunk takes were not adjusted for."""
    notes = []
    if others:
        notes.append(
            "Unshrunk takes are those of each level's own trays, at its own mix of "
            f"{listing([column_words(name) for name in others])}; the shrunk ones are at the mix "
            "of all."
        )
    if len(seasons) > 1:
        notes.append(
            f"Unshrunk takes count the trays of {count_of(len(seasons), 'season')} together."
        )
    return tuple(notes)


def _limit(row: Row, side: str, level: float) -> str:
    share = f"{100.0 * level:g}"
    if side == "both":
        low, high = percent_number(row["low"]), percent(row["high"])
        return f"between {low} and {high} with {share} % probability"
    if side == "upper":
        return f"{percent(row['high'])} or less with {share} % probability"
    return f"{percent(row['low'])} or more with {share} % probability"


def expected_sentences(
    rows: Sequence[Row], columns: Sequence[str], new: str, side: str, level: float
) -> tuple[str, ...]:
    """Read what a new season or a new tray will bring aloud, a sentence each."""
    return tuple(
        _expected(
            ", ".join(level_text(row[c]) for c in columns) or "All grafts", row, new, side, level
        )
        for row in rows
    )


def _expected(who: str, row: Row, new: str, side: str, level: float) -> str:
    behind = [trays_words(row["trays"]), count_of(row["grafts"], "graft")]
    if row["seasons"] > 0:
        behind.insert(0, count_of(row["seasons"], "season"))
    return (
        f"{who}: in a new {new} expect {percent(row['expected_take'])}; "
        f"{_limit(row, side, level)}; from {listing(behind)}."
    )


def new_combination_sentence(
    relation: str | None, row: Row, new: str, side: str, level: float
) -> str:
    """Read what a combination not yet tried will bring aloud."""
    kind = "" if relation in (None, "any") else f" ({relation})"
    return _expected(f"A combination not yet tried{kind}", row, new, side, level)


def mixed_notes(columns: Sequence[str]) -> tuple[str, ...]:
    """Say that all else is as it was."""
    told = listing([column_words(name) for name in columns]) if columns else "nothing"
    return (
        f"Told apart: {told}. All else (methods, dates, people) as it was mixed in each season.",
    )


def expected_notes(new: str, level: float, side: str, *, trays_recorded: bool) -> tuple[str, ...]:
    """Say what the limits are limits of."""
    share = f"{100.0 * level:g} %"
    sides = {"lower": "lower", "upper": "upper", "both": "two-sided"}[side]
    what = (
        "the take of a whole new season, averaged over its trays"
        if new == "season"
        else "the take of one new tray, in a season like those seen"
    )
    notes = [
        f"Prediction limits ({sides}, {share}) of {what}, not of the average of seasons; "
        "the counts of a small order vary further by chance.",
    ]
    if not trays_recorded:
        notes.append(
            "No trays recorded: grafts counted as if independent; the limits are too narrow "
            "if they are not."
        )
    return tuple(notes)


def season_spread_note(
    seasons: int,
    groups: int,
    *,
    pooled: bool,
    scale: float | Sequence[float],
    spread: tuple[float, float, float] | None,
) -> str:
    """Say what the spread between seasons rests on: pooled, a season or none, or more.

    Several scales, one for each level, are told from the lowest to the highest.

    Examples
    --------
    >>> season_spread_note(1, 1, pooled=False, scale=0.5, spread=None)[:44]
    'One season cannot show how seasons differ: t'
    """
    scales = [scale] if isinstance(scale, int | float) else list(scale)
    lowest, highest = (f"{value:.2g}" for value in (min(scales), max(scales)))
    told = lowest if lowest == highest else f"{lowest} to {highest}"
    assumed = f"assumed beforehand to be half-normal with scale {told} in log odds"
    if pooled and spread is not None:
        middle, low, high = (_deviation(value) for value in spread)
        return (
            f"Spread between seasons pooled over {groups} with two seasons or more, each with a "
            f"mean of its own: standard deviation {middle} in log odds (95 % limits {low} to "
            f"{high}), {assumed}. A bad year that hits all of them is still only one of "
            f"{count_of(seasons, 'season')}, and the limits do not know it."
        )
    if seasons < 1:
        return (
            f"Season not recorded: all trays count as one season, and the spread between seasons "
            f"is {assumed}."
        )
    if seasons == 1:
        return (
            f"One season cannot show how seasons differ: the spread between them is {assumed}, "
            "and where there is one season that assumption alone widens the limits."
        )
    return (
        f"Two seasons or more: the spread between them is {assumed}, and learnt from each "
        "level's own seasons; with so few the assumption weighs heavily."
    )


def unknown_season_note(lines: int) -> str:
    """Say that lines of an unknown season are not used."""
    return f"Left out: {count_of(lines, 'line')} whose season is not recorded."


def new_combination_note(relation: str | None, combinations: int, by: Sequence[str]) -> str:
    """Say whom a combination not yet tried is taken to resemble."""
    names = listing([column_words(name) for name in by])
    kind = "" if relation in (None, "any") else f" of relation {relation}"
    few = (
        "; with fewer than 5 the spread between them rests on an assumed spread"
        if combinations < FEW_GROUPS
        else ""
    )
    return (
        f"A new {names}{kind}: taken to resemble the {combinations} on record{kind}, which were "
        f"chosen and not drawn by lot{few}."
    )
