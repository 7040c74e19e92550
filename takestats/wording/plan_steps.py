"""What is said while a plan is being worked out?"""

from __future__ import annotations

from takestats.wording.numbers import percent, whole
from takestats.wording.planning import icc_words

_SEARCHES = {
    "tell_apart": "trays to tell the two apart",
    "no_worse": "trays to show no worse",
    "above_floor": "trays to show it is above the floor",
    "estimate": "trays to know the take",
}
NOTHING_TO_FIND = "how often a trial of that size finds what is not there"
NEAREST = "the nearest question that so many trays can answer"
PAST = "reading how past trays and combinations did"
LIKELY = "what the past makes likely for the new one"


def searching(kind: str, icc: float) -> str:
    """Say which trays are being searched for.

    Examples
    --------
    >>> searching("tell_apart", 0.05)
    'trays to tell the two apart, at an intra-tray correlation of 0.05'
    """
    return f"{_SEARCHES[kind]}, at an intra-tray correlation of {icc_words(icc)}"


def stages(floor: float, promising: float) -> str:
    """Say that a rule in two stages is looked for."""
    return f"a rule in two stages, {percent(floor)} against {percent(promising)}"


def by_trays(done: int, total: int) -> str:
    """Say how far the chart of power against trays is."""
    return f"power against trays, {whole(done)} of {whole(total)} points"


def by_tray_size(done: int, total: int) -> str:
    """Say how far the chart of power against grafts in a tray is."""
    return f"power against grafts in a tray, {whole(done)} of {whole(total)} points"
