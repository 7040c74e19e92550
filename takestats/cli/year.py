"""What happens in a grafting year, and what is run when?"""

from __future__ import annotations


def year() -> str:
    """Tell the grafting year and the command of each part of it."""
    return """\
takestats: from grafting records to honest take rates, with their intervals.

The grafting year, and what to run when

  Early winter until just before bud break: grafting
    One line per tray: grafts made, what on what, method, wood, caliper, date.
      takestats check records.csv      finds slips while they can still be put right

  After the first flush has hardened: the settled count
    Write the take of each tray and the date you counted. Blank is not 0.
      takestats check records.csv      shows which trays are not counted yet
      takestats report records.csv     makes the season page

  Before wood is ordered for next winter: choosing
      takestats compare records.csv --by method
      takestats compare records.csv --by method --between cleft "side veneer"

  At any time
      takestats demo                   an invented season, from records to page

Each command ends with the next step. Help: takestats COMMAND --help"""
