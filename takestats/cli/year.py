"""What happens in a grafting year, and what is run when?"""

from __future__ import annotations


def year() -> str:
    """Tell the grafting year and the command of each part of it."""
    return """\
takestats: from grafting records to honest take rates, with their intervals.

The grafting year, and what to run when

  Before the first graft: begin
      takestats start bench            asks ten questions, writes bench/records.xlsx
      takestats start bench --season   the same for ordinary grafting, without a trial
      takestats bench trial.toml       draws a trial by lot; workbook, sheets, labels

  Before the first graft of a trial: how many trays
      takestats trays                  the six questions, each with an example
      takestats trays tell-apart --takes 80% 90% --tray-size 30

  Early winter until just before bud break: grafting
    One line per tray: grafts made, what on what, method, wood, caliper, date.
      takestats check bench/records.xlsx    finds slips while they can be put right;
                                            says what is grafted, wanted and left

  While you graft, before the count: next year's understock
      takestats order last_year.csv bench/records.xlsx
                                            from plants wanted to understock, wood, days

  After the first flush has hardened: the settled count
    Write the take of each tray and the date you counted. Blank is not 0.
      takestats check bench/records.xlsx    says which trays are due for a count
      takestats report bench/records.xlsx   makes the season page
      takestats order last_year.csv bench/records.xlsx --earlier takestats_order
                                            says what to change in the order

  Before wood is ordered for next winter: choosing
      takestats compare bench/records.xlsx --by method
      takestats compare bench/records.xlsx --by method --between cleft "side veneer"

  At any time (records may as well be .csv, .tsv or .parquet files, several at once)
      takestats demo                   an invented season, from records to page

Each command ends with the next step. Help: takestats COMMAND --help"""
