"""What does the workbook of a page's tables say besides the tables?"""

from __future__ import annotations

from takestats.wording.numbers import whole

CONTENTS = "contents"
"""Name of the first sheet."""
CONTENTS_HEADER = ("sheet", "what it holds", "rows", "the same as CSV")
CONTENTS_NOTE = (
    "One sheet for each table of the page, every digit kept. Cells hold numbers, dates and text: "
    "there is no formula in this workbook. A text that looks like one is text."
)
UNSHOWN = "\ufffd"
"""Stands where a character was that no sheet can hold."""
UNSHOWN_NOTE = f"{UNSHOWN} stands for a character that a sheet cannot hold."
CUT_MARK = " [cut here]"


def cut_note(name: str) -> str:
    """Say that a text was longer than a cell can hold.

    Examples
    --------
    >>> cut_note("trays")
    'A text longer than a cell can hold ends in [cut here]; tables/trays.csv has it whole.'
    """
    mark = CUT_MARK.strip()
    return f"A text longer than a cell can hold ends in {mark}; tables/{name}.csv has it whole."


def rows_left_out_note(shown: int, rows: int, name: str) -> str:
    """Say that a table has more rows than a sheet.

    Examples
    --------
    >>> rows_left_out_note(1000, 1200, "trays")
    'The first 1,000 of 1,200 rows; tables/trays.csv has all.'
    """
    return f"The first {whole(shown)} of {whole(rows)} rows; tables/{name}.csv has all."
