"""What do the headings, captions and notes of a page say?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import listing
from takestats.wording.said import count_name, factor_words, opened

BOTH_SHARES = (
    "Raw take of made: taken out of grafts made, missing ones left out. Raw take of live "
    "understock: "
    "dead understock left out as well. The first is the fairer one for a method, because a cut can "
    "kill the understock."
)
RAW_BESIDE = (
    "Raw: the counts of a level's own trays. Compared: the same mix of the other factors for every "
    "level, averaged over trays. When the two part, the levels met different company."
)
ODD_TRAYS = (
    "Named because so low or so high a count is rare in its group. Look for a cause at the "
    "bench; a "
    "tray is never left out for being odd."
)
HISTORY = (
    "Raw takes of each season on its own. Seasons differ for many reasons, so this is history, "
    "not a "
    "test, and seasons are not added together."
)
NO_HISTORY = "Only one season is in these records."
NO_CONFOUNDING = "None of the compared factors was given wholly together with another."
NOTHING_WAITS = "Every tray of the season is counted."
NOTHING_TO_REPORT = "No faults, no queries, nothing set aside."
NOTHING_CHANGED = "Every cell was read as it was typed."


def takes_caption(factor: str, others: Sequence[str], season: str) -> str:
    """Caption of a table of takes.

    Examples
    --------
    >>> takes_caption("method", ["combination"], "2026")
    'Take by method, season 2026, at the same mix of combination'
    """
    when = f", season {season}" if season else ""
    mix = listing([factor_words(name) for name in others])
    return f"Take by {factor_words(factor)}{when}{f', at the same mix of {mix}' if mix else ''}"


def counted_line(count: str, date: str) -> str:
    """Say at which count a table was taken.

    Examples
    --------
    >>> counted_line("settled", "16 June 2026")
    'Counted at the settled count, 16 June 2026.'
    """
    return f"Counted at the {count_name(count) or 'count'}, {date or 'date not recorded'}."


def apart_line(factor: str) -> str:
    """Say that a factor was looked at on its own."""
    return (
        f"Looked at on its own: these takes are not made comparable for the other factors, so part "
        f"of what looks like {factor_words(factor)} can be something that went with it."
    )


def season_title(title: str, season: str) -> str:
    """Head the page.

    Examples
    --------
    >>> season_title("", "2026"), season_title("Cleft or veneer", "2026")
    ('Grafting season 2026', 'Cleft or veneer, season 2026')
    """
    if not title:
        return f"Grafting season {season}".strip() if season else "Grafting season"
    return f"{title}, season {season}" if season else title


def chart_marker(invented: bool, banner: str) -> str:
    """What stands before a chart's sentence when the data are invented or quoted.

    Examples
    --------
    >>> chart_marker(True, "INVENTED DATA: seed 7.")
    'INVENTED DATA.'
    >>> chart_marker(False, "Source: A 1935. Counts reconstructed: from percents.")
    'Source: A 1935. Counts reconstructed.'
    """
    if invented:
        return "INVENTED DATA."
    source, reconstructed, _ = banner.partition("Counts reconstructed")
    return f"{source}{reconstructed}." if reconstructed else banner


def table_note(what: str, season: str, count: str, date: str, banner: str) -> str:
    """Say what a table holds, for the line above its header.

    Examples
    --------
    >>> table_note("take by method", "2026", "settled", "16 June 2026", "")
    'takestats: take by method; season 2026; settled count of 16 June 2026; takes from 0 to 1.'
    """
    parts = [f"{banner} takestats: {what}".strip(), f"season {season or 'not recorded'}"]
    parts.append(f"{count_name(count) or 'count'} of {date or 'a date not recorded'}")
    return f"{'; '.join(parts)}; takes from 0 to 1."


def comparison_title(factor: str, title: str, season: str) -> str:
    """Head the page of one comparison.

    Examples
    --------
    >>> comparison_title("scion_wood", "", "2026")
    'Take by scion wood, season 2026'
    """
    ends = f", season {season}" if season else ""
    opening = f"{title}: take" if title else "Take"
    return f"{opening} by {factor_words(factor)}{ends}"


def too_many_pairs_line(factor: str, levels: int) -> str:
    """Say why no differences stand here.

    Examples
    --------
    >>> too_many_pairs_line("combination", 5)
    'Combination has 10 pairs of levels; compare two of them by name for their difference.'
    """
    pairs = levels * (levels - 1) // 2
    name = opened(factor_words(factor))
    return f"{name} has {pairs} pairs of levels; compare two of them by name for their difference."
