"""Which of these took better, and how sure is that? One column at a time."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from takestats.cli.next_step import command_line
from takestats.cli.options import AsJson, Files, Out, SetAside, Trial
from takestats.cli.page_task import make_comparison

FOLDER = Path("takestats_comparison")


def compare(
    files: Files,
    by: Annotated[
        str,
        typer.Option(
            "--by",
            metavar="COLUMN",
            help='What to compare: method, scion_wood, caliper_class, or "scion wood".',
            show_default=False,
        ),
    ],
    between: Annotated[
        tuple[str, str] | None,
        typer.Option(
            "--between",
            metavar="A B",
            help='Only these two, as in: --between cleft "side veneer".',
            show_default=False,
        ),
    ] = None,
    within: Annotated[
        str | None,
        typer.Option(
            "--within",
            metavar="COLUMN",
            help="Does the difference hold inside each level of it: species, season, donor?",
            show_default=False,
        ),
    ] = None,
    trial: Trial = None,
    out: Out = None,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """Compare the levels of one column: takes, differences in points, odds ratios.

    Writes into ./takestats_comparison unless --out names another folder.
    """
    from takestats.records.read import read_records

    records = read_records(files, trial=trial, set_aside=set_aside)
    column = column_name(by)
    inside = None if within is None else column_name(within)
    make_comparison(records, out or FOLDER, column, between=between, within=inside, as_json=as_json)
    if not as_json:
        season = command_line("report", files, trial, set_aside=set_aside)
        typer.echo(f"Next: {season} shows the whole season.")
        if records.trial.trial.get("randomised") not in ("tray", "half", "graft"):
            typer.echo("Before you change over, give the treatments to trays by lot once.")


def column_name(typed: str) -> str:
    """Read a column as a grower types it.

    Examples
    --------
    >>> column_name("Scion wood")
    'scion_wood'
    """
    return "_".join(typed.strip().lower().replace("-", " ").replace("_", " ").split())
