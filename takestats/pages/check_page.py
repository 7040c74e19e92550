"""What did the check of the records find? A page to print, and its tables beside it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Literal

from takestats.pages.cells import MOST_ROWS
from takestats.pages.check_facts import CheckFacts
from takestats.pages.parts import Block, Cells, Points, SeasonReport, Section, Words
from takestats.pages.records_part import changes_section, problem_blocks
from takestats.pages.rows import cell_text, rows_of
from takestats.pages.season_page import write_season
from takestats.wording.check import (
    DUE_HEADING,
    NO_FAULTS,
    NO_TARGETS,
    PARTS,
    PROBLEMS_HEADING,
    TITLE,
    TRAYS_HEADING,
    WANTED_HEADING,
    WANTED_HOW,
    check_note,
)
from takestats.wording.numbers import NOT_RECORDED, count_of, date_words, whole

Part = Literal["bench", "season"]


def check_report(facts: CheckFacts) -> SeasonReport:
    """Set out the facts of a check as a page.

    Parameters
    ----------
    facts : CheckFacts

    Returns
    -------
    SeasonReport
        ``tables``: problems, changes, wanted, due, and set_aside where there are any.
    """
    named = {
        "problems": ("faults and queries", facts.problems),
        "changes": ("cells read as something else than typed", facts.changes),
        "wanted": ("grafted, wanted and left, per combination", facts.wanted),
        "due": (f"trays waiting for their count, reckoned from {facts.day}", facts.due),
    }
    if not facts.set_aside.empty:
        named["set_aside"] = ("rows set aside", facts.set_aside)
    sentences = (facts.verdict, *facts.made, *facts.wanted_words, *facts.due_words)
    return SeasonReport(
        page_name="check",
        title=f"{facts.title}: {TITLE.lower()}" if facts.title else TITLE,
        banner=facts.banner,
        sentences=tuple(sentence.strip() for sentence in sentences),
        sections=_sections(facts),
        tables={name: table for name, (_, table) in named.items()},
        table_notes={name: check_note(what, facts.banner) for name, (what, _) in named.items()},
        notes=facts.notes,
        parts=PARTS,
    )


def write_check(facts: CheckFacts, folder: str | os.PathLike[str]) -> list[Path]:
    """Write the page ``check.html`` and ``tables/``: all of them, or none.

    Parameters
    ----------
    facts : CheckFacts
    folder : path
        Made when it is not there.

    Returns
    -------
    list of pathlib.Path
        The page, then the tables.

    Raises
    ------
    FileError
        When the folder cannot be written.
    """
    return write_season(check_report(facts), folder)


def _sections(facts: CheckFacts) -> tuple[Section, ...]:
    made = Points(items=tuple(line.strip() for line in facts.made))
    where_it_stands: list[Block] = [Words(text=facts.verdict)]
    sections = [_section("verdict", "", "bench", where_it_stands)]
    if facts.made:
        sections.append(_section("so-far", TRAYS_HEADING, "bench", [made]))
    sections.append(_section("wanted", WANTED_HEADING, "bench", _wanted(facts)))
    if facts.due_words:
        sections.append(_section("due", DUE_HEADING, "bench", _due(facts)))
    problems = problem_blocks(facts.problems, facts.set_aside) or [Words(text=NO_FAULTS)]
    sections.append(_section("problems", PROBLEMS_HEADING, "season", problems))
    sections.append(changes_section(facts.changes, facts.notes))
    return tuple(sections)


def _wanted(facts: CheckFacts) -> list[Block]:
    if facts.wanted.empty:
        return [Words(text=NO_TARGETS)]
    numbers = ("grafted", "wanted", "left", "counted", "taken", "short")
    table = Cells(
        caption="Plants and grafts of the newest season",
        header=("combination", "grafted", "wanted", "left", "counted", "taken", "short at best"),
        rows=tuple(
            (
                str(row["combination"]),
                *(_number(float(row[name]), name) for name in numbers),
            )
            for row in rows_of(facts.wanted)
        ),
        numbers=(False, *(True,) * len(numbers)),
    )
    return [table, Words(text=WANTED_HOW if facts.wanted_words else NO_TARGETS)]


def _number(value: float, name: str) -> str:
    if value != value:
        return "not set" if name in ("wanted", "left", "short") else NOT_RECORDED
    return whole(value)


def _due(facts: CheckFacts) -> list[Block]:
    blocks: list[Block] = [Points(items=facts.due_words)]
    if not facts.due.empty:
        blocks.append(_waiting(facts))
    return blocks


def _waiting(facts: CheckFacts) -> Cells:
    """Trays in the order in which they are due; numbers and dates are kept on one line."""
    rest = len(facts.due) - MOST_ROWS
    return Cells(
        caption="Trays waiting for their count",
        header=("tray", "combination", "grafts", "grafted on", "due from", "reckoned from"),
        rows=tuple(
            (
                str(row["tray_id"]),
                cell_text(row["combination"]),
                whole(float(row["grafted"])),
                _day(row["graft_date"]),
                _day(row["due_from"]),
                str(row["reckoned_from"]),
            )
            for row in rows_of(facts.due.head(MOST_ROWS))
        ),
        numbers=(False, False, True, True, True, False),
        after=f"{count_of(rest, 'more tray')} in tables/due.csv." if rest > 0 else "",
    )


def _day(value: object) -> str:
    return date_words(value) if isinstance(value, str) else NOT_RECORDED


def _section(key: str, heading: str, part: Part, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part=part, blocks=tuple(blocks))
