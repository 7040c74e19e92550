"""What did the season show? The season page, and its sentences on the screen."""

from __future__ import annotations

from pathlib import Path

import typer

from takestats.cli.next_step import command_line, first_question
from takestats.cli.options import AsJson, Files, Out, SetAside, Trial
from takestats.cli.page_task import make_season_page, read_and_get_ready

FOLDER = Path("takestats_report")


def report(
    files: Files,
    trial: Trial = None,
    out: Out = None,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """Make the season page: take of each level, differences, odd trays, history.

    Writes into ./takestats_report unless --out names another folder.
    """
    records, studio = read_and_get_ready(files, trial, set_aside=set_aside)
    make_season_page(records, out or FOLDER, studio, as_json=as_json)
    if not as_json:
        by = first_question(records.trays, records.trial.compare.get("factors", ()))
        step = "Next: open the page"
        if by is not None:
            more = command_line("compare", files, trial, set_aside=set_aside, by=by)
            step += f"; then {more} answers one question at a time"
        typer.echo(f"{step}.")
