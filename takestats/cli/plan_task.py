"""How does a command make a plan, write its page and say what it found?"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from takestats.cli.progress import working
from takestats.cli.telling import writing_into
from takestats.cli.trays_refused import as_options
from takestats.wording import plan_page as words
from takestats.wording.shown import shown

if TYPE_CHECKING:
    from takestats.cli.trays_given import Given
    from takestats.pages.plan_page import Plan, PlanReport

Say = Callable[[str], None]


def make_plan(
    plan: Callable[[Say], Plan],
    found: Given,
    folder: Path,
    *,
    as_json: bool,
    added: str = "",
    **other_names: str,
) -> None:
    """Plan, write the page with the settings of its trial, and read it out.

    Parameters
    ----------
    plan : callable
        Makes the plan, and says what it is doing.
    found : Given
    folder : Path
    as_json : bool
    added : str
        A further sentence.
    **other_names : str
        As for :func:`takestats.cli.trays_refused.as_options`.
    """
    from takestats.pages.plan_page import plan_report, write_plan
    from takestats.pages.trial_file import refuse_other_settings

    refuse_other_settings(folder)
    with working("Planning") as say:
        with as_options(**other_names):
            made = plan(say)
        report = plan_report(
            made,
            past=found.past,
            nursery=found.settings,
            new=found.new,
            standard=found.standard,
            added=(added,) if added else (),
            progress=say,
        )
        say("writing the page")
        refuse_other_settings(folder, report.settings_text)
        with writing_into(folder):
            paths = write_plan(report, folder)
    if as_json:
        _as_json(report, found, paths)
    else:
        _speak(report, paths)


def _speak(report: PlanReport, paths: list[Path]) -> None:
    page, told = report.page, report.told
    if page.banner:
        typer.echo(shown(page.banner) + "\n")
    for sentence in page.sentences:
        typer.echo(f"- {shown(sentence)}")
    for heading, lines in (
        (words.GROUP_RULE, (told.rule,)),
        (words.GROUP_ASIDE, (told.aside,)),
        (words.GROUP_CANNOT, told.cannot),
        (words.GROUP_BEFORE, told.before),
    ):
        if lines:
            typer.echo(f"\n{heading}:")
            for line in lines:
                typer.echo(f"- {shown(line)}")
    typer.echo("")
    typer.echo(f"Page:     {paths[0]}")
    typer.echo(f"Settings: {paths[1]}")
    typer.echo(f"Tables:   {paths[2].parent} ({len(paths) - 2:,} files)")
    typer.echo("")
    typer.echo(f"Next: {shown(' '.join(report.steps(str(paths[1]))))}")


def _as_json(report: PlanReport, found: Given, paths: list[Path]) -> None:
    from takestats.cli.as_json import json_text, records_parts

    page, told = report.page, report.told
    past = {} if found.past is None else records_parts(found.past)
    typer.echo(
        json_text(
            {
                "banner": page.banner,
                "title": page.title,
                "recommendation": page.sentences[0],
                "sentences": list(page.sentences),
                "rule": told.rule,
                "set_aside": told.aside,
                "cannot_show": list(told.cannot),
                "cautions": list(told.before),
                "settings": report.settings,
                "notes": list(page.notes),
                "table_notes": page.table_notes,
                "tables": page.tables,
                "past": past or None,
                "next": list(report.steps(str(paths[1]))),
                "written": paths,
            }
        )
    )
