"""What does a check of the records say: faults, what is grafted and wanted, what is due?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from takestats.wording.numbers import count_of, date_words, plain, whole

NO_FAULTS = "No faults found."
TITLE = "Check of the records"
PARTS = (("bench", "Where the season stands"), ("season", "The records in detail"))
WANTED_HEADING = "Grafted, wanted and left"
WANTED_HOW = (
    "Wanted is plants, from the targets in the settings. Left is wanted minus grafts made, as if "
    "every graft took: graft more than that."
)
NO_TARGETS = (
    "No number of plants wanted is set; write it in the settings under targets, as "
    "targets.scion on understock."
)
DUE_HEADING = "Due for a count"
TRAYS_HEADING = "Grafted and counted so far"
PROBLEMS_HEADING = "Faults and queries"
CHANGES_LINE = "Read in another form (the file is not changed; --json lists each cell):"
_SHOWN = 12


def verdict(errors: int, queries: int, left_out: int) -> str:
    """Say how many faults there are.

    Examples
    --------
    >>> verdict(0, 0, 0), verdict(0, 2, 0)
    ('No faults found.', '2 cells to look at, kept as typed.')
    """
    said = []
    if errors:
        said.append(
            f"{count_of(errors, 'fault')} to put right; "
            f"{count_of(left_out, 'row')} left out of the tally below"
        )
    if queries:
        said.append(f"{count_of(queries, 'cell')} to look at, kept as typed")
    return "; ".join(said) + "." if said else NO_FAULTS


def no_row_usable(errors: int, queries: int) -> str:
    """Say that no row is left to tally.

    Examples
    --------
    >>> no_row_usable(1, 0)
    '1 fault to put right; no row can be used until then.'
    """
    asked = f"; {count_of(queries, 'cell')} to look at" if queries else ""
    return f"{count_of(errors, 'fault')} to put right{asked}; no row can be used until then."


def nothing_grafted(where: str) -> str:
    """Say that a file has its headings and nothing below them."""
    return f"Nothing grafted yet: {where} has its headings and no row below them."


def made_line(season: str, grafts: float, trays: int, thing: str, *, cuttings: bool) -> str:
    """Say what was made in a season.

    Examples
    --------
    >>> made_line("2026", 90, 3, "tray", cuttings=False)
    'Grafted so far, season 2026: 90 grafts in 3 trays.'
    """
    what, unit = ("Cuttings struck", "cutting") if cuttings else ("Grafted so far", "graft")
    name = f"season {season}" if season else "season not recorded"
    return f"{what}, {name}: {count_of(grafts, unit)} in {count_of(trays, thing)}."


def counted_line(count: str, counted: int, waiting: Sequence[str], trays: int, thing: str) -> str:
    """Say which trays are counted.

    Examples
    --------
    >>> counted_line("settled", 2, ["T3"], 1, "tray")
    '  Counted (settled count): 2 trays. Not counted yet: 1 tray: T3.'
    """
    return (
        f"  Counted ({count} count): {count_of(counted, thing)}. "
        f"Not counted yet: {count_of(trays, thing)}{_which(waiting)}"
    )


def wanted_line(
    name: str,
    wanted: float,
    grafted: float,
    left: float,
    counted: float,
    taken: float,
    short: float,
) -> str:
    """Say how far one combination is.

    Examples
    --------
    >>> wanted_line("A on B", 200, 150, 50, 0, 0, 50)
    'A on B: 150 grafted, 200 wanted, 50 left.'
    >>> wanted_line("A on B", 200, 210, 0, 120, 100, 10)
    'A on B: 210 grafted, 200 wanted, 0 left; of 120 counted 100 took, so 10 will be short even...
    """
    if math.isnan(wanted):
        return f"{name}: {whole(grafted)} grafted, no number wanted is set."
    said = f"{name}: {whole(grafted)} grafted, {whole(wanted)} wanted, {whole(left)} left"
    if counted > 0:
        said += f"; of {whole(counted)} counted {whole(taken)} took"
        if short > 0:
            said += f", so {whole(short)} will be short even if all the others take"
    return f"{said}."


def due_lines(
    count: str,
    day: str,
    due: Sequence[str],
    later: Sequence[tuple[str, str]],
    unknown: Sequence[str],
    thing: str = "tray",
) -> tuple[str, ...]:
    """Say which trays are due for their count, which later, and which nobody can tell.

    Parameters
    ----------
    count : str
        The count that is waited for.
    day : str
        The day reckoned from, ISO.
    due : sequence of str
        Trays that are due.
    later : sequence of (str, str)
        Trays that are not, with the day (ISO) from which they are, in order.
    unknown : sequence of str
        Trays without a date to reckon from.
    thing : str
        "tray", or "row" where trays are not recorded.

    Examples
    --------
    >>> due_lines("settled", "2026-06-20", ["T1"], [("T2", "2026-07-01")], [])
    ('Due for the settled count on 20 June 2026: 1 tray: T1.', 'Due later: 1 tray, from 1 July...
    """
    if not (due or later or unknown):
        return (f"No {thing} waits for its {count} count.",)
    lines = [
        f"Due for the {count} count on {date_words(day)}: {count_of(len(due), thing)}{_which(due)}"
    ]
    if later:
        names, first = [name for name, _ in later], later[0][1]
        lines.append(
            f"Due later: {count_of(len(later), thing)}, from {date_words(first)} on{_which(names)}"
        )
    if unknown:
        lines.append(
            f"No date to reckon from: {count_of(len(unknown), thing)}{_which(unknown)} Write the "
            "graft date."
        )
    return tuple(lines)


def due_rule(
    count: str, weeks: float | None, usual: float | None, after_bud_break: float | None
) -> str:
    """Say by which rule a count is due, and where the rule comes from.

    Examples
    --------
    >>> due_rule("settled", 16, 20, 10)
    'The settled count is due 16 weeks after grafting, by the settings.'
    >>> due_rule("later", None, None, None)
    'When a later count is due is not known; set records.count_after_weeks.'
    """
    if weeks is not None:
        return f"The {count} count is due {plain(weeks)} weeks after grafting, by the settings."
    if usual is None:
        return f"When a {count} count is due is not known; set records.count_after_weeks."
    broke = (
        f"{plain(after_bud_break)} weeks after bud break of the understock where that is recorded, "
        "else "
        if after_bud_break is not None
        else ""
    )
    return (
        f"The {count} count is due {broke}{plain(usual)} weeks after grafting (common practice, no "
        "source; set records.count_after_weeks to your own). Look at the plants first: the first "
        "flush should have hardened."
    )


def change_line(column: str, cells: int, why: str, typed: str, became: str) -> str:
    """Say what was read in another form, with its first cell.

    Examples
    --------
    >>> change_line("method", 2, "word for the graft", "SV", "side veneer")
    '  method: 2 cells, word for the graft (first: "SV" became side veneer)'
    """
    return f'  {column}: {count_of(cells, "cell")}, {why} (first: "{typed}" became {became})'


def check_note(what: str, banner: str) -> str:
    """Say what a table beside the check page holds.

    Examples
    --------
    >>> check_note("faults and queries", "")
    'takestats: faults and queries; from a check of the records.'
    """
    return f"{banner} takestats: {what}; from a check of the records.".strip()


def _which(names: Sequence[str]) -> str:
    if not names:
        return "."
    more = len(names) - _SHOWN
    shown = ", ".join(names[:_SHOWN])
    return f": {shown} and {whole(more)} more." if more > 0 else f": {shown}."
