"""What does it gain to put both methods into each tray, in words?"""

from __future__ import annotations

from takestats.wording.numbers import count_of


def gain_line(trays: int, grafts: int, whole_trays: int | None, whole_grafts: int | None) -> str:
    """Say what it gains to put both methods into each tray.

    Parameters
    ----------
    trays, grafts : int
        With both methods in each tray.
    whole_trays, whole_grafts : int or None
        With whole trays of either, of each method and of the trial; None where none would do.

    Examples
    --------
    >>> gain_line(13, 390, 29, 1740)
    'With whole trays of either method the same step would take 29 trays of each, 1,740 grafts: \
both in each tray saves 1,350 grafts, if trays differ as much as the most uneven looked at.'
    """
    if whole_trays is None or whole_grafts is None:
        return (
            "With whole trays of either method no number of trays that was looked at would tell "
            "the two apart as often."
        )
    opening = (
        "With whole trays of either method the same step would take "
        f"{count_of(whole_trays, 'tray')} of each, {count_of(whole_grafts, 'graft')}: "
    )
    saved = whole_grafts - grafts
    if saved <= 0:
        return f"{opening}both in each tray saves nothing here."
    return (
        f"{opening}both in each tray saves {count_of(saved, 'graft')}, if trays differ as much as "
        "the most uneven looked at."
    )
