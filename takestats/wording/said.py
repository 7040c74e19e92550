"""How are a factor, a count and its date named inside a sentence?"""

from __future__ import annotations

from collections.abc import Sequence

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
    ('15 June 2026', '15 June 2026 to 20 June 2026')
    """
    kept = sorted({date for date in dates if date})
    if not kept:
        return ""
    if len(kept) == 1:
        return date_words(kept[0])
    return f"{date_words(kept[0])} to {date_words(kept[-1])}"
