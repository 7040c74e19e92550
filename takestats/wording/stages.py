"""How are the stages of a graft read aloud: taken, alive later, fit for sale?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from takestats.wording.charts import take_value
from takestats.wording.numbers import (
    NOT_RECORDED,
    count_of,
    level_text,
    level_words,
    listing,
    percent_number,
    trays_words,
    whole,
)
from takestats.wording.said import count_name, dates_words, opened

Row = Mapping[str, Any]

RAW_STAGES = (
    "Raw shares of the trays' own counts, nothing adjusted; limits by the quick closed form, which "
    "respects trays. A tray enters a share of those that took only where both counts are recorded."
)
LOST_LATER = "A graft that was not found at the later count is counted as not alive."
BY_RELATION = (
    "A relation stands here for the few combinations that were made of it, so a difference may "
    "belong to one of them: seen together, not shown to cause."
)
NO_LATER_COUNT = "A later count is not recorded in any season: how many live on is not known."


def stage_notes(
    count: str, out_of: str, level: float, rose: int, later: Mapping[str, str]
) -> tuple[str, ...]:
    """Say how stage shares were made."""
    live = out_of == "live_understock"
    less = "missing ones and dead understock" if live else "missing ones"
    notes = [
        f"{RAW_STAGES} {opened(level_words(level))}; one dispersion for each season and stage.",
        f'"Made" is grafts made at the {count_name(count)}, less {less}; "taken" are those alive '
        "at that count. Seasons are never added together.",
    ]
    if later:
        told = [f"{season or 'season not recorded'}: {name}" for season, name in later.items()]
        notes.append(f'"Alive later" is told at these counts: {listing(told)}. {LOST_LATER}')
    if rose:
        notes.append(
            f"Left out of what follows the take: {count_of(rose, 'line')} with more plants alive "
            "or saleable later than had taken."
        )
    return tuple(notes)


def share_words(share: float, low: float, high: float) -> str:
    """Say a share with its limits, or that there is none.

    Examples
    --------
    >>> share_words(0.92, 0.88, 0.95), share_words(float("nan"), 0.0, 1.0)
    ('92 % (88 to 95)', 'not recorded')
    """
    return NOT_RECORDED if math.isnan(share) else take_value(share, low, high)


def dates_of(row: Row, first: str = "first_date", last: str = "last_date") -> str:
    """Say the dates of a count.

    Examples
    --------
    >>> dates_of({"first_date": "2026-06-16", "last_date": "2026-06-17"})
    '16 to 17 June 2026'
    >>> dates_of({"first_date": "", "last_date": ""})
    'not recorded'
    """
    return dates_words([str(row[first]), str(row[last])]) or NOT_RECORDED


def stage_sentences(rows: Sequence[Row], label: str, named: bool, level: float) -> tuple[str, ...]:
    """Read every level's stages aloud, a sentence each."""
    said = []
    for _, group in groupby(rows, key=lambda row: (row["season"], row[label])):
        stages = {str(row["stage"]): row for row in group}
        first = next(iter(stages.values()))
        who = f", {level_text(first[label])}" if named else ""
        season = f"Season {first['season']}{who}: " if first["season"] else f"{who[2:]}: "
        parts = [_stage_words(name, row, level) for name, row in stages.items()]
        said.append(f"{season if first['season'] or who else ''}{'; '.join(parts)}.")
    return tuple(said)


_OPENINGS = {
    "taken": ("of 100 grafts made {n} took", "take"),
    "alive later": ("of 100 that took {n} were alive later", "alive later"),
    "saleable of taken": ("of 100 that took {n} were saleable", "saleable of those that took"),
    "saleable of made": ("of 100 made {n} were saleable", "saleable of those made"),
}


def _stage_words(stage: str, row: Row, level: float) -> str:
    opening, name = _OPENINGS[stage]
    if math.isnan(row["share"]):
        return f"{name} {NOT_RECORDED}"
    limits = f"{percent_number(row['low'])} to {percent_number(row['high'])}"
    named = f"{level_words(level)} " if stage == "taken" else ""
    return (
        f"{opening.format(n=percent_number(row['share']))} ({named}{limits}; {whole(row['alive'])} "
        f"of {whole(row['out_of'])}, {trays_words(row['trays'])}, {counted_on(row)})"
    )


def counted_on(row: Row) -> str:
    """Say when, inside brackets.

    Examples
    --------
    >>> counted_on({"first_date": "", "last_date": ""})
    'count date not recorded'
    """
    said = dates_of(row)
    return f"count date {said}" if said == NOT_RECORDED else f"counted {said}"


def few_trays_line(stage: str, trays: float, counted: float) -> str | None:
    """Say on how many trays a later stage rests, when not on all.

    Examples
    --------
    >>> few_trays_line("alive later", 30, 38)
    'Alive later: recorded in 30 of 38 trays; only these enter the share.'
    >>> few_trays_line("alive later", 38, 38) is None
    True
    """
    if math.isnan(trays) or trays == counted:
        return None
    if not trays:
        return f"{opened(stage)}: {NOT_RECORDED}."
    return (
        f"{opened(stage)}: recorded in {whole(trays)} of {whole(counted)} trays; only these enter "
        "the share."
    )


def stages_bench_line(stage: str, row: Row, level: float) -> str:
    """Say on the bench that a later stage loses clearly.

    Examples
    --------
    >>> stages_bench_line("saleable of taken", {"share": 0.92, "low": 0.88, "high": 0.94,
    ...     "alive": 92, "out_of": 100, "trays": 4, "first_date": "2026-06-16",
    ...     "last_date": "2026-06-16"}, 0.95)
    'Of 100 that took, 92 were saleable (95 % confidence interval 88 to 94; 92 of 100 in 4 trays, \
counted 16 June 2026).'
    """
    what = "alive later" if stage == "alive later" else "saleable"
    return (
        f"Of 100 that took, {percent_number(row['share'])} were {what} ({level_words(level)} "
        f"{percent_number(row['low'])} to {percent_number(row['high'])}; {whole(row['alive'])} of "
        f"{whole(row['out_of'])} in {trays_words(row['trays'])}, {counted_on(row)})."
    )


def later_season_line(newest: str) -> str:
    """Say that the newest season has no later count, but an earlier one has.

    Examples
    --------
    >>> later_season_line("2025-26")
    'Season 2025-26 has no later count yet. Earlier seasons are shown, each on its own.'
    """
    return f"Season {newest} has no later count yet. Earlier seasons are shown, each on its own."


def failure_notes(later: Mapping[str, str], level: float) -> tuple[str, ...]:
    """Say how later failures were counted."""
    if not later:
        return ()
    told = [f"{season or 'season not recorded'}: {name}" for season, name in later.items()]
    return (
        f"Dead at the later count ({listing(told)}) out of those that took; raw, "
        f"{level_words(level)} by the quick closed form. {LOST_LATER} {BY_RELATION}",
    )


def failure_sentences(rows: Sequence[Row], level: float) -> tuple[str, ...]:
    """Read later failures by relation aloud, season by season."""
    if not rows:
        return (NO_LATER_COUNT,)
    said = []
    for season, group in groupby(rows, key=lambda row: row["season"]):
        parts = []
        for row in group:
            pairs = row["combinations"]
            of_pairs = f"{count_of(pairs, 'combination')}, " if pairs == pairs else ""
            parts.append(
                f"{row['relation']} {percent_number(row['failed_share'])} "
                f"({percent_number(row['low'])} to {percent_number(row['high'])}; "
                f"{whole(row['failed'])} of {whole(row['out_of'])}, {of_pairs}"
                f"{trays_words(row['trays'])}, {counted_on(row)})"
            )
        opening = f"Season {season}, dead" if season else "Dead"
        said.append(
            f"{opening} later of 100 that took, {level_words(level)} in brackets: {listing(parts)}."
        )
    return tuple(said)
