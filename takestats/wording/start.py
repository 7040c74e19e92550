"""What does ``takestats start`` ask, and what does it say when it is done?"""

from __future__ import annotations

ASKS: dict[str, str] = {
    "title": "What is this called?",
    "question": "What do you want to know, in your own words? (may stay blank)",
    "compare": "What do you compare? (method, wood, union height, caliper, understock ...)",
    "methods": "Which grafts do you make? (cleft, side veneer ...; parted by commas)",
    "standard": "Which one is your standard, the one the other is compared with?",
    "randomised": "Is it drawn by lot what a tray gets? (tray, half, graft or no)",
    "record": "What else do you write down? (block, bench, grafter, wood, caliper ...; may stay "
    "blank)",
    "plants": "Which plants, and how many do you want of each? (scion on understock = number; "
    "parted by ; may stay blank)",
    "names": "Which plants are meant by the short names? (short = Genus species 'Cultivar'; parted "
    "by ; may stay blank)",
    "tray_size": "How many grafts does a tray hold? (blank if trays differ)",
    "caliper_unit": "Are calipers taken in mm or in inches? (mm or in)",
    "classes": "What are your caliper classes? (thin = 6 to 8 mm; stout = 8 to 10 mm; may stay "
    "blank)",
    "later": "Will you count again later: alive, fit for sale? (yes or no)",
}
"""The questions, by the name of their option."""

OPENING = (
    "Press Enter to take the answer in brackets, or - for none; Ctrl-C stops and writes nothing."
)

MEANINGS: dict[str, str] = {
    "title": "What the trial or season is called.",
    "question": "What you want to know, in your own words.",
    "compare": "Columns to compare, parted by commas.",
    "methods": "Grafts that you make, parted by commas.",
    "standard": "The one that the other is compared with.",
    "randomised": "What is drawn by lot: tray, half (of a tray), graft or no.",
    "record": "Other columns to write down, parted by commas.",
    "plants": "Plants and plants wanted: 'scion on understock = 200; ...'.",
    "names": "Short names: 'short = Genus species; ...'.",
    "tray_size": "Grafts that a tray holds, where all are alike.",
    "caliper_unit": "Unit of calipers: mm or in.",
    "classes": "Caliper classes: 'thin = 6 to 8 mm; ...'.",
    "later": "Whether there will be a later count: yes or no.",
}
"""The same as options, for the command's help."""


def done_lines(path: str, headings: int, settings: int) -> tuple[str, ...]:
    """Say what was written.

    Examples
    --------
    >>> done_lines("bench/records.xlsx", 12, 9)[0]
    'Workbook: bench/records.xlsx'
    """
    return (
        f"Workbook: {path}",
        f"  sheet records: {headings} columns, one row per tray; lists and checks in the cells",
        f"  sheet trial: {settings} settings, to be filled in or changed at any time",
        "  sheet how to: how it is filled in, and the cautions",
    )


def by_lot_line(randomised: str) -> str:
    """Say what a trial that is not drawn by lot cannot show; blank when it is."""
    if randomised != "no":
        return ""
    return (
        "Not drawn by lot: a difference can then come from the day, the bench or the plants as "
        "well. Drawing which tray gets what costs a minute."
    )
