"""Can these records be used, and how far is the season?"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from takestats.cli.fault_list import fault_lines
from takestats.cli.next_step import command_line
from takestats.cli.options import AsJson, Files, SetAside, Trial
from takestats.cli.telling import BAD_INPUT
from takestats.wording.numbers import count_of

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.records.result import Records


def check(
    files: Files, trial: Trial = None, as_json: AsJson = False, set_aside: SetAside = False
) -> int:
    """List every fault of the records, then what was grafted and counted so far.

    Nothing is written and the records are not changed. Exit code 2 when a fault
    must be put right (0 with --set-aside: those rows are left out and named).
    """
    from takestats.records.read import read_records

    # Faulty rows are set aside here in any case, so that the tally can be shown.
    records = read_records(files, trial=trial, set_aside=True)
    errors = int((records.problems["kind"] == "error").sum())
    code = BAD_INPUT if errors and not set_aside else 0
    if as_json:
        typer.echo(_json(records, errors))
        return code
    if records.banner:
        typer.echo(records.banner + "\n")
    for line in fault_lines(records.problems):
        typer.echo(line)
    typer.echo(_verdict(records, errors))
    typer.echo("")
    for line in tally_lines(records.trays, no_trays=records.no_trays, count=records.count):
        typer.echo(line)
    for line in _read_otherwise(records.changes):
        typer.echo(line)
    for note in records.notes:
        typer.echo(f"Note: {note}")
    typer.echo("")
    counted = bool(records.trays["counted"].any())
    typer.echo(_next_step(files, trial, errors, set_aside, counted))
    return code


def tally_lines(trays: DataFrame, *, no_trays: bool, count: str) -> list[str]:
    """Say, season by season, what was grafted and which trays are counted."""
    lines: list[str] = []
    thing = "row" if no_trays else "tray"
    if trays.empty:
        return ["Grafted so far: no row could be used."]
    for season, of_season in trays.groupby("season", dropna=False, sort=True):
        name = f"season {season!s}" if season == season else "season not recorded"
        made = of_season["made_by"].fillna("graft") if "made_by" in of_season else None
        struck = of_season[made == "cutting"] if made is not None else of_season.iloc[:0]
        grafts = of_season.drop(index=struck.index)
        lines.append(
            f"Grafted so far, {name}: {_tally(grafts['grafted'], 'graft')} "
            f"in {count_of(_how_many(grafts, no_trays), thing)}."
        )
        if len(struck):
            lines.append(
                f"Cuttings struck, {name}: {_tally(struck['grafted'], 'cutting')} "
                f"in {count_of(_how_many(struck, no_trays), thing)}."
            )
        counted = of_season[of_season["counted"].astype(bool)]
        waiting = of_season[~of_season["counted"].astype(bool)]
        lines.append(
            f"  Counted ({count} count): {count_of(_how_many(counted, no_trays), thing)}. "
            f"Not counted yet: {count_of(_how_many(waiting, no_trays), thing)}"
            + _which(waiting["tray_id"].astype(str).unique().tolist())
        )
    return lines


def _how_many(trays: DataFrame, no_trays: bool) -> int:
    return len(trays) if no_trays else int(trays["tray_id"].nunique())


def _tally(numbers: object, thing: str) -> str:
    total = numbers.sum()  # type: ignore[attr-defined]
    return count_of(int(total), thing)


def _which(names: Sequence[str], most: int = 12) -> str:
    if not names:
        return "."
    more = len(names) - most
    return ": " + ", ".join(names[:most]) + (f" and {more:,} more." if more > 0 else ".")


def _verdict(records: Records, errors: int) -> str:
    queries = len(records.problems) - errors
    if not errors and not queries:
        return "No faults found."
    said = []
    if errors:
        said.append(
            f"{count_of(errors, 'fault')} to put right; "
            f"{count_of(len(records.set_aside), 'row')} left out of the tally below"
        )
    if queries:
        said.append(f"{count_of(queries, 'cell')} to look at, kept as typed")
    return "; ".join(said) + "."


def _read_otherwise(changes: DataFrame) -> list[str]:
    if changes.empty:
        return []
    lines = ["Read in another form (the file is not changed; --json lists each cell):"]
    for (column, why), cells in changes.groupby(["column", "why"], dropna=False, sort=True):
        first = cells.iloc[0]
        lines.append(
            f"  {column}: {count_of(len(cells), 'cell')}, {why} "
            f'(first: "{first["typed"]}" became {first["became"]})'
        )
    return lines


def _next_step(
    files: Sequence[str], trial: Path | None, errors: int, set_aside: bool, counted: bool
) -> str:
    if errors and not set_aside:
        again = command_line("check", files, trial, set_aside=False)
        return (
            f"Next: put the faults right in the file and run {again} again, "
            "or add --set-aside to go on without those rows."
        )
    if not counted:
        return "Next: count the trays once the first flush has hardened, then check again."
    report = command_line("report", files, trial, set_aside=bool(errors))
    return f"Next: {report} makes the season page."


def _json(records: Records, errors: int) -> str:
    from takestats.cli.as_json import json_text, records_parts

    columns = ["season", "tray_id", "grafted", "taken", "counted", "count_date"]
    return json_text(
        {
            **records_parts(records),
            "errors": errors,
            "changes": records.changes,
            "trays": records.trays[columns],
        }
    )
