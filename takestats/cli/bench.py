"""How does a trial get onto the bench? A layout drawn by lot, its workbook and its papers."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from takestats.cli.next_step import command_line
from takestats.cli.options import AsJson, Out
from takestats.cli.telling import writing_into
from takestats.wording.bench_papers import done_lines
from takestats.wording.shown import shown

FOLDER = Path("takestats_bench")


def bench(
    settings: Annotated[
        Path,
        typer.Argument(
            metavar="SETTINGS",
            help="Settings of the trial (.toml) with a part [bench]: treatments, trays_each, "
            "blocks, tray_size, split_trays, seed, rows, counts.",
            show_default=False,
        ),
    ],
    out: Out = None,
    rows: Annotated[
        str | None,
        typer.Option(
            "--rows",
            metavar="tray|graft",
            help="What has a row of its own in the workbook and on the sheets: the tray (or each "
            "half of a split one), or each graft with its calipers.",
            show_default=False,
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Draw a bench layout by lot; write its record workbook and the papers to print.

    Bench sheets, tray labels and a bench map stand beside the workbook, in
    ./takestats_bench unless --out names another folder. A workbook that is there is never
    written over.
    """
    from takestats.pages.bench_asked import layout_of_settings
    from takestats.pages.bench_papers import refuse_to_write_over, write_bench
    from takestats.pages.bench_workbook import FILE
    from takestats.records.settings import read_trial

    folder = out or FOLDER
    refuse_to_write_over(folder / FILE)
    trial = read_trial(settings)
    layout = layout_of_settings(trial)
    with writing_into(folder):
        paths = write_bench(layout, folder, trial=trial, rows=rows)
    if as_json:
        from takestats.cli.as_json import json_text

        parts = {
            "written": paths,
            "seed": layout.seed,
            "seed_was_made": layout.seed_was_made,
            "layout": layout.fingerprint,
            "trays": layout.trays,
            "sentences": layout.sentences,
            "notes": layout.notes,
            "table": layout.table,
        }
        typer.echo(json_text(parts))
        return
    for sentence in layout.sentences:
        typer.echo(f"- {shown(sentence)}")
    typer.echo("")
    for line in done_lines([str(path) for path in paths]):
        typer.echo(line)
    again = command_line("check", [str(paths[0])], None, set_aside=False)
    typer.echo("")
    typer.echo(f"Next: print the labels and sheets, graft, fill in the workbook; then run {again}.")
