"""What do the headings, captions and notes of a page say?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import listing, percent
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
CARRIED = (
    "What carries over from one season to the next is how much seasons differ and whether a "
    "difference held; the takes of earlier seasons are never added to this season's. Seasons stand "
    "beside one another in one model, each with its own takes; all else as it was mixed in each."
)
EXPECTED = (
    "The next season is one more draw of such seasons, not their average. One bad year for all "
    "combinations at once is not in these limits when no season on record was one."
)
SHRUNK = (
    "Shrunk takes are for ranking, for orders and for what was not tried yet: few trays of one "
    "combination say little, so its take is drawn to the mean of all. For a combination that "
    "somebody named, or the difference of two, read the unshrunk take, which stands on its own "
    "trays alone: the best and the worst of many are held less often by the shrunk interval."
)
INSIDE = (
    "The same question asked inside each level, from one model that lets the difference change "
    "from level to level. One interval clear of zero and another not is no sign that the two "
    "differ: that is what the sentence tells."
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


def undrawn_line(factor: str, levels: int) -> str:
    """Say that not every level is drawn.

    Examples
    --------
    >>> undrawn_line("combination", 30)
    '30 further levels of combination are not drawn; they stand in the table below.'
    """
    name = factor_words(factor)
    if levels == 1:
        return f"1 further level of {name} is not drawn; it stands in the table below."
    return f"{levels} further levels of {name} are not drawn; they stand in the table below."


def limit_header(level: float) -> str:
    """Head a column of lower prediction limits.

    Examples
    --------
    >>> limit_header(0.9)
    'or more with 90 % probability'
    """
    return f"or more with {percent(level)} probability"


def inside_caption(factor: str, strata: str) -> str:
    """Caption of a table of differences inside strata.

    Examples
    --------
    >>> inside_caption("method", "season")
    'Differences of method inside each season'
    """
    return f"Differences of {factor_words(factor)} inside each {strata}"


def not_shrunk_line(reason: str) -> str:
    """Say why combinations are not drawn to one another.

    Examples
    --------
    >>> not_shrunk_line("some trays hold several rows of the fit")
    'The combinations are not drawn to their mean: some trays hold several rows of the fit.'
    """
    return f"The combinations are not drawn to their mean: {reason.rstrip('.')}."
