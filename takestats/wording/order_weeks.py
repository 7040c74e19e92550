"""What is said of the weeks of a grafting window, and of windows that cannot be read?"""

from __future__ import annotations

from takestats.wording.numbers import count_of, date_words, plain, whole

Refused = dict[str, str]

_EXAMPLE = 'Write window = "early January to mid March", or "2026-01-05 to 2026-03-13".'
_MEANINGS = {
    "grafts_a_day": "Grafts a day are those that the whole bench makes in one grafting day",
    "days_a_week": "Days a week are the grafting days in a full week",
    "window": "The window is the first and the last day of grafting",
}
_EXAMPLES = {
    "grafts_a_day": "Write grafts_a_day = 120.",
    "days_a_week": "Write days_a_week = 4.",
    "window": _EXAMPLE,
}


def week_label(iso: str) -> str:
    """Name a week by its first day.

    Examples
    --------
    >>> week_label("2026-01-05")
    'week of 5 January 2026'
    """
    return f"week of {date_words(iso)}"


def not_given(key: str) -> Refused:
    """Say that a setting of the work is missing."""
    return {
        "where": f"[work] {key}",
        "what": "not recorded",
        "rule": f"{_MEANINGS[key]}; without it the weeks hold no known number of grafts.",
        "next_step": _EXAMPLES[key],
    }


def number_refused(key: str, value: object, number: float, most: float) -> Refused:
    """Say that grafts a day or days a week cannot be used."""
    if key == "days_a_week":
        rule = f"{_MEANINGS[key]}: more than 0, at most {plain(most)}."
    else:
        rule = f"{_MEANINGS[key]}: more than 0, at most {whole(most)}."
    nothing = number == 0.0
    return {
        "where": f"[work] {key}",
        "what": f"{value!r}" + (": no graft could be made" if nothing else ""),
        "rule": rule,
        "next_step": _EXAMPLES[key],
    }


def no_such_year(year: object, earliest: int, latest: int) -> Refused:
    """Say that a year is none."""
    return {
        "where": "year",
        "what": f"{year!r}",
        "rule": f"The year is a whole number from {earliest} to {latest}.",
        "next_step": "Give the year in which the window starts, as 2026.",
    }


def window_unread(window: object, side: object | None) -> Refused:
    """Say that a window, or one side of it, cannot be read."""
    part = "" if side is None or side == window else f": {side!r} cannot be read"
    return {
        "where": "[work] window",
        "what": f"{_typed(window)}{part}",
        "rule": f"{_MEANINGS['window']}: early, mid or late with a month, a day with its month, or "
        "a date like 2026-01-05, and the word to between the two.",
        "next_step": _EXAMPLE,
    }


def _typed(window: object) -> str:
    """Show a window as it was given, two days of a list with a comma."""
    if isinstance(window, list | tuple):
        return ", ".join(str(day) for day in window)
    return f"{window!r}"


def window_ends_first(window: object, first: str, last: str) -> Refused:
    """Say that a window ends before it starts."""
    return {
        "where": "[work] window",
        "what": f"{_typed(window)} runs from {date_words(first)} to {date_words(last)}",
        "rule": "A window does not end before it starts; days without a year are of the same year.",
        "next_step": "Turn the two round. If grafting runs over New Year, write both with their "
        'year: "2025-12-01 to 2026-02-10".',
    }


def window_too_long(window: object, first: str, last: str) -> Refused:
    """Say that a window is longer than a year."""
    return {
        "where": "[work] window",
        "what": f"{_typed(window)} runs from {date_words(first)} to {date_words(last)}",
        "rule": "A grafting window is a year at most.",
        "next_step": "Check the years; for two seasons, plan each by itself.",
    }


def week_notes(first: str, last: str, a_day: float, a_week: float) -> tuple[str, ...]:
    """Say what the weeks rest on."""
    return (
        f"Grafting from {date_words(first)} to {date_words(last)}, {plain(a_day)} grafts a day, "
        f"{count_of(a_week, 'day') if a_week == int(a_week) else f'{plain(a_week)} days'} a week.",
        "Which weekdays are grafting days is not recorded: they are taken to run from Monday. "
        "Holidays are not taken out.",
    )
