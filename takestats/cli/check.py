"""Can these records be used, and how far is the season?"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from takestats.cli.fault_list import fault_lines
from takestats.cli.next_step import command_line
from takestats.cli.options import AsJson, Files, Out, SetAside, Trial
from takestats.cli.page_task import tell_written
from takestats.cli.telling import BAD_INPUT, writing_into
from takestats.errors import RecordsError, SettingsError
from takestats.wording.shown import shown

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.pages.check_facts import CheckFacts
    from takestats.records.result import Records

Day = Annotated[
    str | None,
    typer.Option(
        "--on",
        metavar="DATE",
        help="Day from which due counts are reckoned, as 2026-06-15; today if left out.",
        show_default=False,
    ),
]


def check(
    files: Files,
    trial: Trial = None,
    out: Out = None,
    on: Day = None,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> int:
    """List every fault, then what is grafted, wanted, left and due.

    The records are not changed, and nothing is written unless --out names a folder:
    then the page check.html and its tables. Exit code 2 when a fault must be put
    right (0 with --set-aside: those rows are left out and named).
    """
    from takestats.pages.check_facts import check_facts, nothing_usable, nothing_yet
    from takestats.records.no_rows import NoRowsError
    from takestats.records.read import read_records

    day = day_of(on)
    records: Records | None = None
    try:
        # Faulty rows are set aside here in any case, so that the tally can be shown.
        records = read_records(files, trial=trial, set_aside=True)
        facts = check_facts(records, day)
    except NoRowsError as empty:
        facts = nothing_yet(empty, day)
    except RecordsError as stopped:
        facts = nothing_usable(stopped, day)
    written = _write(facts, out)
    if as_json:
        typer.echo(_json(facts, records, written))
    else:
        _tell(facts, written)
        typer.echo(_next_step(files, trial, facts, set_aside))
    return BAD_INPUT if facts.errors and not (set_aside and facts.any_usable) else 0


def day_of(typed: str | None) -> dt.date:
    """Read the day to reckon from; today when it is left out.

    Examples
    --------
    >>> day_of("2026-06-15")
    datetime.date(2026, 6, 15)
    """
    if typed is None:
        return dt.date.today()
    try:
        return dt.date.fromisoformat(typed.strip())
    except ValueError:
        raise SettingsError(
            where="--on",
            what=f'"{typed}"',
            rule="A day is written year-month-day.",
            next_step="Write it like 2026-06-15.",
        ) from None


def _write(facts: CheckFacts, out: Path | None) -> list[Path]:
    if out is None:
        return []
    from takestats.pages.check_page import write_check

    with writing_into(out):
        return write_check(facts, out)


def _tell(facts: CheckFacts, written: Sequence[Path]) -> None:
    from takestats.wording.check import WANTED_HEADING, WANTED_HOW

    if facts.banner:
        typer.echo(shown(facts.banner) + "\n")
    for line in fault_lines(facts.problems):
        typer.echo(shown(line))
    typer.echo(shown(facts.verdict))
    typer.echo("")
    for line in facts.made:
        typer.echo(shown(line))
    if facts.wanted_words:
        typer.echo(f"{WANTED_HEADING}:")
        for line in facts.wanted_words:
            typer.echo(f"  {shown(line)}")
        typer.echo(f"  {WANTED_HOW}")
    for line in facts.due_words:
        typer.echo(shown(line))
    for line in _read_otherwise(facts.changes):
        typer.echo(shown(line))
    for note in facts.notes:
        typer.echo(f"Note: {shown(note)}")
    typer.echo("")
    if written:
        tell_written(written)


def _read_otherwise(changes: DataFrame) -> list[str]:
    from takestats.wording.check import CHANGES_LINE, change_line

    if changes.empty:
        return []
    lines = [CHANGES_LINE]
    for (column, why), cells in changes.groupby(["column", "why"], dropna=False, sort=True):
        first = cells.iloc[0]
        lines.append(
            change_line(str(column), len(cells), str(why), first["typed"], first["became"])
        )
    return lines


def _next_step(files: Sequence[str], trial: Path | None, facts: CheckFacts, set_aside: bool) -> str:
    again = command_line("check", files, trial, set_aside=False)
    if not facts.grafted:
        return f"Next: fill in a row for each tray while you graft; then run {again} again."
    if not facts.any_usable:
        return f"Next: put the faults right in the file and run {again} again."
    if facts.errors and not set_aside:
        return (
            f"Next: put the faults right in the file and run {again} again, "
            "or add --set-aside to go on without those rows."
        )
    if not facts.any_counted:
        return "Next: count the trays once the first flush has hardened, then check again."
    report = command_line("report", files, trial, set_aside=bool(facts.errors))
    return f"Next: {report} makes the season page."


def _json(facts: CheckFacts, records: Records | None, written: Sequence[Path]) -> str:
    from takestats.cli.as_json import json_text, records_parts

    parts: dict[str, object] = {"banner": facts.banner, "problems": facts.problems, "trays": []}
    if records is not None:
        columns = ["season", "tray_id", "grafted", "taken", "counted", "count_date"]
        parts = {**records_parts(records), "trays": records.trays[columns]}
    return json_text(
        {
            **parts,
            "errors": facts.errors,
            "verdict": facts.verdict,
            "changes": facts.changes,
            "wanted": facts.wanted,
            "day": facts.day,
            "due": facts.due,
            "written": list(written),
        }
    )
