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


def others_note(mark: str) -> str:
    """Say that rows of other files stand beside those of the layout."""
    return (
        f"The rows of the bench layout {mark} match it, but rows of other files stand beside them. "
        f"{_NOTHING} Read the layout's workbook by itself to compare what was drawn by lot."
    )
