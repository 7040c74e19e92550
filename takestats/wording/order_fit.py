"""What is said when an order is held against the wood, understock and days there are?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import listing

NO_LIMITS = (
    "No limit of wood, understock or days was given, so whether the order fits is not known."
)
ANY_WEEK = "weeks not recorded"
_NAMED = {
    "window": "the window",
    "grafts_a_day": "grafts a day",
    "days_a_week": "grafting days a week",
}


def no_weeks(work: Mapping[str, Any]) -> str:
    """Say why there are no weeks."""
    lacking = [said for key, said in _NAMED.items() if work.get(key) in (None, "")]
    return f"No plan by weeks, and days are not a limit: {listing(lacking)} not recorded."


def year_note(year: int, newest: str) -> str:
    """Say where the year of the window comes from."""
    return (
        f"The window names no year: it is taken to start in {year}, for the season after {newest}, "
        "the newest on record; work.window_year sets another."
    )


def year_unknown(window: object) -> dict[str, str]:
    """Say that a window has no year and none can be told."""
    return {
        "where": "[work] window",
        "what": f"{window!r} names no year, and no season is on record",
        "rule": "Weeks are named by their first day, so the year of the window is needed.",
        "next_step": "Write window_year = 2027 under [work], or the window with its years: "
        '"2027-01-04 to 2027-03-12".',
    }


def no_grafting_day(window: object) -> dict[str, str]:
    """Say that a window holds no day on which anything is grafted."""
    return {
        "where": "[work] window",
        "what": f"{window!r} holds no grafting day",
        "rule": "Which weekdays are grafting days is not recorded: they are taken to run from "
        "Monday.",
        "next_step": "Write a window with one of these days in it, or a larger days_a_week.",
    }


def fit_notes(*, mixed: bool, lower: Sequence[str], several: Sequence[str]) -> list[str]:
    """Say what plants from each wood are reckoned to be."""
    notes = [
        "Plants to count on from one graft: the plants wanted divided by the grafts ordered, so "
        "that where the order fits each target is met with its assurance."
    ]
    if mixed:
        notes.append(
            "The order stands at the mix of wood on record, and the plan counts on both woods "
            "alike as long as no larger share of it is sub-terminal."
        )
    if lower:
        notes.append(
            "More of the wood would have to be sub-terminal than on record, so that it is reckoned "
            "to take less, by the difference on record (its estimate; the interval stands with the "
            f"wood): {listing(list(lower))}."
        )
    if several:
        notes.append(
            "A graft does not take one piece here, so pieces that are left, or would have to be "
            f"more, are told as the grafts they are enough for: {listing(list(several))}."
        )
    return notes
