"""How are a factor, a count and its date named inside a sentence?"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from takestats.wording.numbers import (
    column_words,
    date_words,
)

COUNT_NAMES = {
    "callus check": "callus check",
    "first": "first count",
    "settled": "settled count",
    "later": "later count",
    "season end": "count at season end",
    "next spring": "count of next spring",
}

LOT_UNITS = {
    "tray": "whole trays",
    "half": "trays or halves of trays",
    "graft": "single grafts",
}
"""What treatments may be given to by lot, by the word of the settings."""


def factor_words(factor: str) -> str:
    """Say a factor's name inside a sentence, without its unit.

    Examples
    --------
    >>> factor_words("union_height_mm"), factor_words("scion_wood")
    ('union height', 'scion wood')
    """
    return column_words(factor).removesuffix(" (mm)")


def opened(sentence: str) -> str:
    """Begin a sentence with a capital letter.

    Examples
    --------
    >>> opened("side veneer took 6 points more than cleft.")
    'Side veneer took 6 points more than cleft.'
    """
    return sentence[:1].upper() + sentence[1:]


def count_name(count: str) -> str:
    """Say a count.

    Examples
    --------
    >>> count_name("settled"), count_name("june check")
    ('settled count', 'june check')
    """
    return COUNT_NAMES.get(count, count)


def dates_words(dates: Sequence[str]) -> str:
    """Say when trays were counted.

    Examples
    --------
    >>> dates_words(["2026-06-15", "2026-06-15"]), dates_words(["2026-06-20", "2026-06-15"])
    ('15 June 2026', '15 to 20 June 2026')
    """
    kept = sorted({date for date in dates if date})
    if not kept:
        return ""
    if len(kept) == 1:
        return date_words(kept[0])
    first, last = date_words(kept[0]), date_words(kept[-1])
    day, _, month = first.partition(" ")
    if month and month == last.partition(" ")[2] and day.isdigit():
        return f"{day} to {last}"
    return f"{first} to {last}"


def short_names(names: Mapping[str, str]) -> dict[str, str]:
    """The nursery's short name of each full plant name that has one and no more.

    Parameters
    ----------
    names : mapping of str to str
        From the settings: short name to full name.

    Examples
    --------
    >>> short_names({"moth": "Hamamelis x intermedia 'Copper Moth'"})
    {"Hamamelis × intermedia 'Copper Moth'": 'moth'}
    """
    found: dict[str, list[str]] = {}
    for short, full in names.items():
        found.setdefault(" ".join(full.split()).replace(" x ", " × "), []).append(short)
    return {full: shorts[0] for full, shorts in found.items() if len(shorts) == 1}


def shortened(sentence: str, names: Mapping[str, str]) -> str:
    """Put the nursery's short names into a sentence; a name within a longer name stays.

    Parameters
    ----------
    sentence : str
    names : mapping of str to str
        From :func:`short_names`.

    Examples
    --------
    >>> names = {"Hamamelis virginiana": "virginiana"}
    >>> shortened("'Last Lamp' on Hamamelis virginiana took", names)
    "'Last Lamp' on virginiana took"
    >>> shortened("Hamamelis virginiana 'Last Lamp' took", names)
    "Hamamelis virginiana 'Last Lamp' took"
    """
    for full in sorted(names, key=len, reverse=True):
        longer = r"(?![\w'])(?! ['×])(?! (?:subsp|var|f)\. )"
        whole_name = re.compile(rf"(?<!\w){re.escape(full)}{longer}")
        sentence = whole_name.sub(names[full].replace("\\", r"\\"), sentence)
    return sentence
