"""What does a record workbook say in its cells, its messages and on its how-to sheet?"""

from __future__ import annotations

from takestats.wording.cautions import CAUTIONS
from takestats.wording.numbers import listing, plain

BOOK_TITLE = "How to keep these records"
CAUTIONS_TITLE = "Take care"
FOOTER = "Blank is not 0. Cut away from the body and the holding hand."
"""At the foot of each printed page of the record sheet."""

EXAMPLES = {
    "length": "9.5 mm, 9,5 mm or 3/8 in",
    "height": "80, or the word low or high",
    "date": "3 Feb 2026",
    "plant": "Genus species 'Cultivar', or a short name from the trial sheet",
    "season": "2026 or 2025-26",
}
"""How a cell is typed, by the kind of its column."""


def how_to_lines(*, file: str, text_cells: tuple[str, ...], lines_ready: int) -> tuple[str, ...]:
    """Say in about ten lines how the workbook is filled in.

    Examples
    --------
    >>> how_to_lines(file="records.xlsx", text_cells=("tray",), lines_ready=200)[-1]
    'Save the file, then run: takestats check records.xlsx'
    """
    return (
        "One row per tray. Two treatments in one tray: one row each, with the same tray name.",
        "While grafting: fill the cells from the left up to the grafts made. Where a cell offers a "
        "list, take a word from it.",
        f"These cells are text, so that no fraction or name becomes a date: {listing(text_cells)}.",
        "Dates have the month as a word: 3 Feb 2026. If only the month is known, put an apostrophe "
        "in front: 'Feb 2026.",
        "At the count: the day, the grafts alive and joined (taken), those whose understock is "
        "dead, those missing. A graft is in one of them only.",
        "Blank is not 0. Leave a count blank until it is made; type 0 when none took.",
        "Count once the first flush has hardened. An earlier count flatters: a scion can push on "
        "stored food and fail after.",
        "Add columns as you like; they are kept. Leave the headings as they are, in one row.",
        "A new week may go on below or on a copy of the sheet; totals rows stay out of both.",
        f"Printing takes {plain(lines_ready)} lines, empty ones too: choose the pages that you "
        "need, or widen the print area.",
        "The first sheet tallies what is grafted and due; the trial sheet holds the settings. A "
        "short name for a plant: names.copper moth in the first column, the full name in the "
        "second.",
        f"Save the file, then run: takestats check {file}",
    )


def caution_lines() -> tuple[str, ...]:
    """The cautions at the foot of the how-to sheet."""
    return CAUTIONS


def cell_prompt(meaning: str, kind: str) -> str:
    """Say what a cell holds, when it is chosen.

    Examples
    --------
    >>> cell_prompt("the day of grafting", "date")
    'The day of grafting. Type it like 3 Feb 2026.'
    """
    said = f"{meaning[:1].upper()}{meaning[1:]}."
    return f"{said} Type it like {EXAMPLES[kind]}." if kind in EXAMPLES else said


def not_in_list(heading: str, *, closed: bool) -> str:
    """Say that a word is not offered.

    Examples
    --------
    >>> not_in_list("method", closed=False)
    'This word is not in the list for method. Keep it only if it is a word of your own.'
    """
    said = f"This word is not in the list for {heading}."
    return (
        f"{said} Take one from the list."
        if closed
        else f"{said} Keep it only if it is a word of your own."
    )


def not_whole(heading: str, low: float, high: float) -> str:
    """Say that a cell holds a whole number between limits.

    Examples
    --------
    >>> not_whole("grafted", 1, 30)
    'grafted is a whole number from 1 to 30. Leave it blank if it is not known.'
    """
    return (
        f"{heading} is a whole number from {plain(low)} to {plain(high)}. "
        "Leave it blank if it is not known."
    )


def not_within(heading: str, most: str) -> str:
    """Say that a count cannot be more than another.

    Examples
    --------
    >>> not_within("saleable", "taken")
    'saleable is a whole number, 0 or more, and not more than taken. Fill in taken first.'
    """
    return (
        f"{heading} is a whole number, 0 or more, and not more than {most}. Fill in {most} first."
    )


def parts_not_within(parts: tuple[str, ...], whole: str) -> str:
    """Say that the parts of a count cannot be more than the grafts made.

    Examples
    --------
    >>> parts_not_within(("taken", "missing"), "grafted")
    'Whole numbers only. taken and missing together cannot be more than grafted. Fill in...
    """
    return (
        f"Whole numbers only. {listing(parts)} together cannot be more than {whole}. "
        f"Fill in {whole} first."
    )


def not_a_date(heading: str, after: str) -> str:
    """Say that a cell holds a date, and what it cannot be before.

    Examples
    --------
    >>> print(not_a_date("count date", "graft date"))
    count date is a date such as 3 Feb 2026, not before graft date. A month alone may be kept as
    text: 'Feb 2026.
    """
    late = f", not before {after}" if after else ""
    return (
        f"{heading} is a date such as {EXAMPLES['date']}{late}. A month alone may be kept as text: "
        "'Feb 2026."
    )
