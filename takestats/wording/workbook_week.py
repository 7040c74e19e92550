"""What does the first sheet of a record workbook say of the week?"""

from __future__ import annotations

from takestats.wording.numbers import count_of

TITLE = "This week"
DAY = "day"
DAY_HOW = "today, until you type another day"
MONDAY = "week from"
WEEKS = "weeks from grafting until the count"
MADE = "grafts made so far"
MADE_THIS_WEEK = "of these, made this week"
LEFT = "grafts left to make"
BEGUN = "trays grafted"
TO_GRAFT = "trays left to graft"
DUE = "trays due for the count"
COUNTED = "trays counted"
WAITING = "trays waiting for their day"
LINES_MADE = "lines grafted"
LINES_DUE = "lines due for the count"
LINES_COUNTED = "lines counted"
WANTED_HEADINGS = ("scion", "understock", "plants wanted", "grafts made", "left")
LIST_HEADINGS = ("code", "place", "grafts", "where it stands")
STATES = ("to graft", "due for the count", "waiting", "counted")
"""Words for a tray: nothing made; the day of its count has come; not yet; counted."""

SPELLING = (
    "A plant is found here only as it is spelled above; takestats check reads every spelling."
)
LEFT_HOW = "Left is plants wanted minus grafts made, as if every graft took: graft more than that."
LINES_HOW = "a line is a tray, or a part of one"
PLAN_HOW = (
    "Figures fill in as the record sheet is filled in; only the day can be typed over, as 3 Feb "
    "2026. A tray code is as on its label."
)
SEASON_HOW = (
    "Figures fill in as the record sheet is filled in; only the day can be typed over, as 3 Feb "
    "2026. Sheets that you add yourself are not in them: takestats check reads all."
)


def count_row(count: str, things: str) -> str:
    """Name the tally of a count with a sheet of its own.

    Examples
    --------
    >>> count_row("later", "trays"), count_row("season end", "halves of trays")
    ('trays counted, later count', 'halves of trays counted, season end count')
    """
    return f"{things} counted, {count} count"


def rows_are(*, per_graft: bool, split: bool) -> tuple[str, str]:
    """Name what has a row of its own: one of them, and several.

    Examples
    --------
    >>> rows_are(per_graft=False, split=True)
    ('half of a tray', 'halves of trays')
    """
    if per_graft:
        return "graft", "grafts"
    return ("half of a tray", "halves of trays") if split else ("tray", "trays")


def out_of(rows: int, things: tuple[str, str]) -> str:
    """Say out of how many rows a tally is.

    Examples
    --------
    >>> out_of(32, ("tray", "trays"))
    'of 32 trays'
    """
    return f"of {count_of(rows, *things)}"


def due_how(count: str, weeks: float | None, bud_break: float | None) -> str:
    """Say when a count is due, in the rule that a check of the records goes by.

    Examples
    --------
    >>> print(due_how("settled", 20, 10))
    The settled count is due 20 weeks after grafting (common practice, no source), or 10 weeks after
    bud break of the understock where that is written down. Other weeks: records.count_after_weeks
    on the trial sheet. A date kept as text is not reckoned with here.
    >>> due_how("next spring", None, None)[:47]
    'When the next spring count is due is not known:'
    """
    setting = "records.count_after_weeks on the trial sheet"
    if weeks is None:
        return f"When the {count} count is due is not known: write it into {setting}."
    after = (
        ""
        if bud_break is None
        else f", or {bud_break:g} weeks after bud break of the understock where that is written "
        "down"
    )
    return (
        f"The {count} count is due {weeks:g} weeks after grafting (common practice, no source)"
        f"{after}. Other weeks: {setting}. A date kept as text is not reckoned with here."
    )
