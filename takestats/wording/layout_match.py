"""What is said when rows are held against the layout that was drawn by lot?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import column_words, listing

_NOTHING = "Nothing is claimed to have been given by lot."


def matches_note(factors: Sequence[str], mark: str, seed: object) -> str:
    """Say that the treatments are those of the layout.

    Examples
    --------
    >>> matches_note(["method"], "0f3a", 7)
    'Each row still has the treatment that the bench layout 0f3a (seed 7) gave it by lot: method.'
    """
    drawn = f" (seed {seed})" if seed is not None else ""
    names = listing([column_words(name) for name in factors])
    return (
        f"Each row still has the treatment that the bench layout {mark}{drawn} gave it by lot: "
        f"{names}."
    )


def differs_note(mark: str) -> str:
    """Say that the treatments, trays or blocks are not those of the layout."""
    return (
        f"The bench layout {mark} no longer matches these rows: a tray, its block or its treatment "
        f"was changed, added or taken out. {_NOTHING} If a row was taken out, put it back and "
        "leave its counts blank."
    )


def kept_note(file: str, mark: str) -> str:
    """Say that the layout of a workbook counts, though its settings do not.

    Examples
    --------
    >>> kept_note("records.xlsx", "0f3a")
    'records.xlsx: its bench layout 0f3a is held against the rows, whatever else the settings are.'
    """
    return (
        f"{file}: its bench layout {mark} is held against the rows, whatever else the settings are."
    )


def unread_note(file: str) -> str:
    """Say that a layout was not looked at, because its sheet has a fault."""
    return (
        f"{file}: its trial sheet cannot be read, so the rows were not held against its bench "
        "layout; what the given settings say of the lot was not checked."
    )


def several_note(marks: Sequence[str]) -> str:
    """Say that layouts were not looked at, because there are several.

    Examples
    --------
    >>> print(several_note(["0f3a", "77b1"]))
    These workbooks come from several bench layouts (0f3a and 77b1), which are not checked together:
    what the given settings say of the lot was not checked. Read them one by one.
    """
    return (
        f"These workbooks come from several bench layouts ({listing(marks)}), which are not "
        "checked together: what the given settings say of the lot was not checked. Read them one "
        "by one."
    )


def others_note(mark: str) -> str:
    """Say that rows of other files stand beside those of the layout."""
    return (
        f"The rows of the bench layout {mark} match it, but rows of other files stand beside them. "
        f"{_NOTHING} Read the layout's workbook by itself to compare what was drawn by lot."
    )
