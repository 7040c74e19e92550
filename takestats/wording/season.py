"""What does the bench sheet say of the season as a whole? No p-values, no odds ratios."""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.charts import Take
from takestats.wording.numbers import (
    column_words,
    count_of,
    level_words,
    listing,
    percent,
    percent_number,
    whole,
)
from takestats.wording.said import LOT_UNITS, count_name, factor_words

NOT_RANDOMISED = (
    "Treatments were not given to trays by lot, as far as the records say: these differences were "
    "seen together, not shown to cause."
)
LAYOUT_DIFFERS = (
    "The bench layout no longer matches these rows, so nothing is claimed to have been given by "
    "lot: these differences were seen together, not shown to cause."
)
MOST_LEFT_OUT = 0.05
GROUP_ASKED = "What was asked"
GROUP_WANTED = "What was wanted"
GROUP_TAKE = "What took"
GROUP_DIFFERENCES = "What differed"
GROUP_TRAYS = "What to look at"
GROUP_TOO_FEW = "What these trays cannot say"
GROUP_NEXT = "From season to season"
GROUP_CARE = "How to read this"
NO_TRAYS = (
    "No trays are recorded: grafts are counted as if independent, and the limits are too narrow if "
    "they are not."
)


def randomised_words(how: str, drawn: Sequence[str], others: bool, *, layout: str = "") -> str:
    """Say whether more may be said than that things were seen together.

    Parameters
    ----------
    how : str
        "tray", "half", "graft", "no" or blank, from the settings.
    drawn : sequence of str
        Factors of the page that were given by lot.
    others : bool
        Whether the page also compares what was not.
    layout : str
        "matches" or "differs" where the settings name a bench layout; else blank.

    Examples
    --------
    >>> randomised_words("tray", ["method"], False)[:60]
    'The settings say that method was given to whole trays by lot'
    >>> randomised_words("no", ["method"], False) == NOT_RANDOMISED
    True
    >>> randomised_words("tray", ["method"], False, layout="matches")[:65]
    'The bench layout, which these rows still match, shows that method'
    """
    if layout == "differs":
        return LAYOUT_DIFFERS
    if how not in LOT_UNITS:
        return NOT_RANDOMISED
    says = "The bench layout, which these rows still match, shows" if layout else "The settings say"
    if not drawn:
        return (
            f"{says} that treatments were given to {LOT_UNITS[how]} by lot, but what is "
            "compared here is none of them: these differences were seen together, not shown to "
            "cause."
        )
    names = listing([factor_words(name) for name in drawn])
    verb, it = ("was", "it") if len(drawn) == 1 else ("were", "them")
    rest = " The other differences were seen together, not shown to cause." if others else ""
    return (
        f"{says} that {names} {verb} given to {LOT_UNITS[how]} by lot: a clear difference "
        f"can be put down to {it}, as far as nothing else went with it.{rest}"
    )


def early_count(count: str) -> str | None:
    """Warn when only an early count exists.

    Examples
    --------
    >>> early_count("settled") is None
    True
    """
    if count not in ("first", "callus check"):
        return None
    return (
        f"Only a {count_name(count)} is in these records: buds can push on stored food, so these "
        "takes can be too high; count again after the first growth has hardened."
    )


def overall(
    *,
    season: str,
    take: Take,
    grafted: float,
    count: str,
    count_date: str,
    level: float,
    live: bool,
) -> str:
    """Say the season's take.

    Parameters
    ----------
    season : str
        As "2026"; blank when not recorded.
    take : Take
        Overall take; ``taken`` of ``tried`` in ``trays``.
    grafted : float
        Grafts made.
    count, count_date : str
        Name of the count and its date in words.
    level : float
        Of the interval.
    live : bool
        True when dead understock is left out of what take is a share of.
    """
    when = f"at the {count_name(count)}" if count else "at the count"
    date = f" of {count_date}" if count_date else " (count date not recorded)"
    where = f" in {count_of(take.trays, 'tray')}" if take.trays == take.trays else ""
    opening = f"Season {season}: " if season else ""
    share = " on live understock" if live else ""
    return (
        f"{opening}{whole(grafted)} grafts made{where}; {when}{date}, {whole(take.taken)} of "
        f"{whole(take.tried)}{share} had taken. Of 100 grafts made like these, "
        f"{percent_number(take.rate)} should take "
        f"({level_words(level)} {percent_number(take.low)} to {percent_number(take.high)})."
    )


def blank_lines_line(blanks: Sequence[tuple[str, int]], used: int) -> str | None:
    """Say which lines are left out because a column is blank, when they are over 5 in 100.

    Examples
    --------
    >>> blank_lines_line([("scion_wood", 6)], 54)
    'Left out of every comparison: 6 of 60 lines, because scion wood is blank (6).'
    >>> blank_lines_line([("scion_wood", 1)], 59) is None
    True
    """
    gone = sum(lines for _, lines in blanks)
    if gone <= MOST_LEFT_OUT * (gone + used):
        return None
    named = listing([f"{column_words(name)} is blank ({whole(lines)})" for name, lines in blanks])
    return f"Left out of every comparison: {gone} of {gone + used} lines, because {named}."


def missing_line(missing: float, recorded: bool) -> str | None:
    """Say how missing grafts were treated.

    Examples
    --------
    >>> missing_line(0, False)
    'Missing grafts are not recorded; every graft made is counted.'
    """
    if not recorded:
        return "Missing grafts are not recorded; every graft made is counted."
    if missing > 0:
        were = "was" if missing == 1 else "were"
        return (
            f"{count_of(missing, 'graft')} {were} missing at the count and left out of the share."
        )
    return None


def not_counted_line(trays: int) -> str | None:
    """Say how many trays wait for a count.

    Examples
    --------
    >>> not_counted_line(2)
    '2 trays are not counted yet and stand outside these numbers.'
    """
    if not trays:
        return None
    verb = "is" if trays == 1 else "are"
    stand = "stands" if trays == 1 else "stand"
    return f"{count_of(trays, 'tray')} {verb} not counted yet and {stand} outside these numbers."


def set_aside_line(rows: int) -> str | None:
    """Say how many rows were set aside.

    Examples
    --------
    >>> set_aside_line(1)
    '1 row with a fault was set aside; it is listed below.'
    """
    if not rows:
        return None
    return (
        "1 row with a fault was set aside; it is listed below."
        if rows == 1
        else f"{rows} rows with faults were set aside; they are listed below."
    )


def next_season_line(expected: float, low: float, level: float, seasons: int) -> str:
    """Say what the next season may bring.

    Examples
    --------
    >>> next_season_line(0.84, 0.77, 0.9, 3)
    'Next season: of 100 grafts made like these expect 84 to take; 77 or more with 90 % \
probability, if it is a season like the 3 on record.'
    """
    return (
        f"Next season: of 100 grafts made like these expect {percent_number(expected)} to take; "
        f"{percent_number(low)} or more with {percent(level)} probability, if it is a season like "
        f"the {seasons} on record."
    )
