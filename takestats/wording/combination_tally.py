"""What is said of wanted, made, taken and saleable plants, combination by combination?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.charts import take_value
from takestats.wording.numbers import (
    NOT_RECORDED,
    count_of,
    listing,
    percent,
    percent_range,
    whole,
)

MOST_NAMED = 4
HAVE = (
    "Have: saleable plants where trays were graded, else grafts that took. Short: wanted less "
    "have. Trays that wait for a count add nothing."
)
RAW = (
    "Raw shares of what was counted; nothing is averaged over. Limits allow for trays that "
    "differ (quick closed form; one dispersion for the season)."
)


def tally_notes(before: str, wanted: bool) -> tuple[str, ...]:
    """Say what the table rests on."""
    notes = [RAW]
    notes.append(
        f"Season {before} stands beside it as history, not as a test."
        if before
        else "No earlier season is recorded."
    )
    notes.append(HAVE if wanted else "No plants wanted are recorded in the settings.")
    return tuple(notes)


def tally_sentences(rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """One sentence a combination.

    Examples
    --------
    >>> tally_sentences([{"combination": "A on B", "grafted": 60.0, "taken": 53.0, "trays": 2.0,
    ...     "take_of_made": .88, "made_low": .7, "made_high": .95, "wanted": math.nan}])
    ['A on B: 53 of 60 grafts made took in 2 trays, 88 % (70 to 95).']
    """
    said = []
    for row in rows:
        if not row["grafted"]:
            said.append(f"{row['combination']}: {whole(row['wanted'])} wanted, none grafted.")
            continue
        line = (
            f"{row['combination']}: {whole(row['taken'])} of {count_of(row['grafted'], 'graft')} "
            f"made took in {count_of(row['trays'], 'tray')}, "
            f"{take_value(row['take_of_made'], row['made_low'], row['made_high'])}"
        )
        if not math.isnan(row["wanted"]):
            line += f"; {wanted_words(row)}"
        said.append(f"{line}.")
    return said


def took_caption(season: str) -> str:
    """Caption of the table of what was made and took.

    Examples
    --------
    >>> took_caption("2026")
    'What was made and what took, season 2026 (shares with quick 95 % limits)'
    """
    when = f", season {season}" if season else ""
    return f"What was made and what took{when} (shares with quick 95 % limits)"


def wanted_words(row: Mapping[str, Any]) -> str:
    """Say what was wanted, what there is and what is lacking.

    Examples
    --------
    >>> wanted_words({"wanted": 200.0, "have": 187.0, "short": 13.0, "saleable_trays": 8.0,
    ...               "trays": 8.0, "waiting": 0.0})
    '200 wanted, 187 saleable, 13 short'
    """
    graded = row.get("saleable_trays", 0.0)
    kind = "saleable" if graded else "taken (not graded yet)"
    parts = [f"{whole(row['wanted'])} wanted", f"{whole(row['have'])} {kind}"]
    ungraded = row.get("trays", 0.0) - graded
    if graded and ungraded > 0:
        parts[-1] += f" ({count_of(ungraded, 'tray')} not graded)"
    if row["short"] > 0:
        parts.append(f"{whole(row['short'])} short")
    if row.get("waiting", 0.0) > 0:
        parts.append(f"{count_of(row['waiting'], 'graft')} not counted yet")
    return ", ".join(parts)


def wanted_lines(rows: Sequence[Mapping[str, Any]], dates: str) -> list[str]:
    """What the bench sheet says of the plants that were wanted: the short ones first.

    Parameters
    ----------
    rows : sequence of mapping
        With a wanted number.
    dates : str
        Of the count, in words.

    Examples
    --------
    >>> wanted_lines([{"combination": "A on B", "wanted": 50.0, "have": 53.0, "short": 0.0,
    ...     "grafted": 60.0, "trays": 2.0, "saleable_trays": 0.0}], "16 June 2026")
    ['Enough: A on B (50 wanted, 53 taken (not graded yet); 60 grafts in 2 trays). \
Counted 16 June 2026.']
    """
    short = sorted((row for row in rows if row["short"] > 0), key=lambda row: -row["short"])
    enough = [row for row in rows if not row["short"] > 0]
    said = [_listed(name, part) for name, part in (("Short", short), ("Enough", enough)) if part]
    if said:
        when = f"Counted {dates}." if dates else "Count date not recorded."
        said[-1] = f"{said[-1]} {when}"
    return said


def _listed(name: str, rows: Sequence[Mapping[str, Any]]) -> str:
    parts = [
        f"{row['combination']} ({wanted_words(row)}; {count_of(row['grafted'], 'graft')} in "
        f"{count_of(row['trays'], 'tray')})"
        for row in rows[:MOST_NAMED]
    ]
    rest = len(rows) - len(parts)
    if rest:
        parts.append(f"{rest} more in the table")
    return f"{name}: {listing(parts)}."


def last_words(row: Mapping[str, Any]) -> str:
    """Last season's raw take in a cell.

    Examples
    --------
    >>> last_words({"last_tried": 200.0, "last_taken": 170.0, "last_rate": 0.85,
    ...             "last_low": 0.78, "last_high": 0.9, "last_trays": 7.0})
    '170 of 200, 85 % (78 to 90 %), 7 trays'
    """
    if not row.get("last_tried", 0.0) > 0:
        return NOT_RECORDED
    return (
        f"{whole(row['last_taken'])} of {whole(row['last_tried'])}, {percent(row['last_rate'])} "
        f"({percent_range(row['last_low'], row['last_high'])}), "
        f"{count_of(row['last_trays'], 'tray')}"
    )


def graded_words(value: float, trays: float, all_trays: float) -> str:
    """A later number with the trays it is recorded for, in a cell.

    Examples
    --------
    >>> graded_words(187.0, 8.0, 8.0), graded_words(100.0, 4.0, 8.0), graded_words(math.nan, 0, 8)
    ('187', '100 (4 of 8 trays)', 'not recorded')
    """
    if not trays > 0:
        return NOT_RECORDED
    return (
        whole(value)
        if trays == all_trays
        else f"{whole(value)} ({whole(trays)} of " + (f"{whole(all_trays)} trays)")
    )


def last_season_line(
    season: str, row: tuple[float, float, float], limits: tuple[float, float, float]
) -> str:
    """Say last season's take, as history beside this one.

    Parameters
    ----------
    season : str
    row : tuple
        Taken, tried, trays.
    limits : tuple
        Raw rate, low, high.

    Examples
    --------
    >>> last_season_line("2024-25", (812, 1000, 36), (0.812, 0.76, 0.86))
    'Season 2024-25 beside it, as history: 812 of 1,000 took in 36 trays, 81 % (76 to 86 %, quick \
limits).'
    """
    taken, tried, trays = row
    rate, low, high = limits
    where = f" in {count_of(trays, 'tray')}" if trays == trays else ""
    return (
        f"Season {season} beside it, as history: {whole(taken)} of {whole(tried)} took{where}, "
        f"{percent(rate)} ({percent_range(low, high)}, quick limits)."
    )
