"""What did a check of the records find? The same facts for screen, page and JSON."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from takestats.errors import RecordsError
from takestats.records.changes import CHANGE_COLUMNS
from takestats.records.no_rows import NoRowsError
from takestats.records.problems import PROBLEM_COLUMNS
from takestats.records.result import Records
from takestats.records.season_so_far import (
    DUE_COLUMNS,
    WEEKS_AFTER_BUD_BREAK,
    WEEKS_AFTER_GRAFTING,
    awaited_count,
    due_table,
    wanted_of_nothing,
    wanted_table,
    weeks_of,
)
from takestats.records.settings import TrialSettings
from takestats.wording.check import (
    counted_line,
    due_lines,
    due_rule,
    made_line,
    no_row_usable,
    nothing_grafted,
    verdict,
    wanted_line,
)


@dataclass(frozen=True, eq=False, kw_only=True)
class CheckFacts:
    """What a check found.

    Parameters
    ----------
    banner, verdict : str
        The INVENTED DATA or citation line (or blank), and how many faults there are.
    errors : int
        Faults that must be put right.
    made, wanted_words, due_words : tuple of str
        Sentences: grafted and counted so far; per combination with a target; due trays.
    problems, set_aside, changes, wanted, due : pandas.DataFrame
        As in the records, and the tables of ``season_so_far``.
    notes : tuple of str
        Notes of the reading.
    title : str
        Of the settings.
    day : str
        The day reckoned from, ISO.
    any_counted, any_usable : bool
        Whether any tray is counted; whether any row can be used.
    grafted : bool
        Whether any row is there.
    """

    banner: str
    verdict: str
    errors: int
    made: tuple[str, ...]
    wanted_words: tuple[str, ...]
    due_words: tuple[str, ...]
    problems: pd.DataFrame
    set_aside: pd.DataFrame
    changes: pd.DataFrame
    wanted: pd.DataFrame
    due: pd.DataFrame
    notes: tuple[str, ...]
    title: str
    day: str
    any_counted: bool
    any_usable: bool
    grafted: bool


def check_facts(records: Records, day: dt.date) -> CheckFacts:
    """Gather what a check says of these records.

    Parameters
    ----------
    records : Records
        Read with faulty rows set aside, so that the rest can be tallied.
    day : datetime.date
        The day from which due counts are reckoned.

    Returns
    -------
    CheckFacts

    Raises
    ------
    SettingsError
        When a target is not a whole number.
    """
    errors = int((records.problems["kind"] == "error").sum())
    queries = len(records.problems) - errors
    wanted, due = wanted_table(records), due_table(records, day)
    return CheckFacts(
        banner=records.banner,
        verdict=verdict(errors, queries, len(records.set_aside)),
        errors=errors,
        made=made_lines(records),
        wanted_words=_wanted_words(wanted),
        due_words=_due_words(due, records, day),
        problems=records.problems,
        set_aside=records.set_aside,
        changes=records.changes,
        wanted=wanted,
        due=due,
        notes=records.notes,
        title=records.trial.title,
        day=day.isoformat(),
        any_counted=bool(records.trays["counted"].any()),
        any_usable=True,
        grafted=True,
    )


def nothing_yet(empty: NoRowsError, day: dt.date) -> CheckFacts:
    """Gather what a check says of a workbook in which nothing is grafted yet."""
    trial = empty.trial
    wanted = wanted_of_nothing(trial)
    return CheckFacts(
        banner=trial.banner,
        verdict=nothing_grafted(empty.where),
        errors=0,
        made=(),
        wanted_words=_wanted_words(wanted),
        due_words=(),
        problems=_empty(PROBLEM_COLUMNS),
        set_aside=_empty(("file", "sheet", "row", "reason")),
        changes=_empty(CHANGE_COLUMNS),
        wanted=wanted,
        due=_empty(DUE_COLUMNS),
        notes=(),
        title=trial.title,
        day=day.isoformat(),
        any_counted=False,
        any_usable=False,
        grafted=False,
    )


def nothing_usable(stopped: RecordsError, day: dt.date) -> CheckFacts:
    """Gather what a check says when no row can be used, or a needed column is missing."""
    errors = int((stopped.problems["kind"] == "error").sum())
    return CheckFacts(
        banner="",
        verdict=no_row_usable(errors, len(stopped.problems) - errors),
        errors=errors,
        made=(),
        wanted_words=(),
        due_words=(),
        problems=stopped.problems,
        set_aside=_empty(("file", "sheet", "row", "reason")),
        changes=_empty(CHANGE_COLUMNS),
        wanted=wanted_of_nothing(TrialSettings()),
        due=_empty(DUE_COLUMNS),
        notes=(),
        title="",
        day=day.isoformat(),
        any_counted=False,
        any_usable=False,
        grafted=True,
    )


def made_lines(records: Records) -> tuple[str, ...]:
    """Say, season by season, what was grafted and which trays are counted."""
    lines: list[str] = []
    thing = "row" if records.no_trays else "tray"
    for season, of_season in records.trays.groupby("season", dropna=False, sort=True):
        name = str(season) if season == season and season != "not recorded" else ""
        struck = of_season["made_by"] == "cutting"
        for kind, cuttings in ((of_season[~struck], False), (of_season[struck], True)):
            if cuttings and kind.empty:
                continue
            grafts = float(kind["grafted"].sum())
            lines.append(made_line(name, grafts, _many(kind, records), thing, cuttings=cuttings))
        counted = of_season["counted"].astype(bool)
        waiting = of_season[~counted]
        lines.append(
            counted_line(
                records.count,
                _many(of_season[counted], records),
                _names(waiting["tray_id"]),
                _many(waiting, records),
                thing,
            )
        )
    return tuple(lines)


def _many(trays: pd.DataFrame, records: Records) -> int:
    return len(trays) if records.no_trays else int(trays["tray_id"].nunique())


def _wanted_words(wanted: pd.DataFrame) -> tuple[str, ...]:
    """One sentence per combination; none when no number wanted is set at all."""
    if not wanted["wanted"].notna().any():
        return ()
    numbers = ("wanted", "grafted", "left", "counted", "taken", "short")
    return tuple(
        wanted_line(str(row["combination"]), *(float(row[name]) for name in numbers))
        for row in wanted.to_dict("records")
    )


def _due_words(due: pd.DataFrame, records: Records, day: dt.date) -> tuple[str, ...]:
    trial = records.trial
    count = awaited_count(trial)
    known = due["due_from"].notna()
    now, later = due[due["is_due"]], due[known & ~due["is_due"]]
    said = due_lines(
        count,
        day.isoformat(),
        _names(now["tray_id"]),
        list(zip(_names(later["tray_id"]), _names(later["due_from"]), strict=True)),
        _names(due.loc[~known, "tray_id"]),
        "row" if records.no_trays else "tray",
    )
    if due.empty:
        return said
    after = WEEKS_AFTER_BUD_BREAK if count == "settled" else None
    return (*said, due_rule(count, weeks_of(trial), WEEKS_AFTER_GRAFTING.get(count), after))


def _names(column: pd.Series[str]) -> Sequence[str]:
    return list(dict.fromkeys(column.astype(str))) if column.name == "tray_id" else list(column)


def _empty(columns: Sequence[str]) -> pd.DataFrame:
    return pd.DataFrame({name: pd.Series(dtype="str") for name in columns})
