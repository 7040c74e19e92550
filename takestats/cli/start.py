"""How does a nursery begin? With about ten questions and a record workbook."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from takestats.cli.next_step import command_line
from takestats.cli.options import AsJson
from takestats.cli.telling import writing_into
from takestats.errors import FileError
from takestats.wording.start import ASKS, MEANINGS, OPENING, by_lot_line, done_lines


def _answer(key: str) -> Any:
    option = f"--{key.replace('_', '-')}"
    return typer.Option(option, metavar="TEXT", help=MEANINGS[key], show_default=False)


def start(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER", help="Where the record workbook goes.", show_default=False
        ),
    ],
    season: Annotated[
        bool, typer.Option("--season", help="For ordinary grafting, without a trial question.")
    ] = False,
    title: Annotated[str | None, _answer("title")] = None,
    question: Annotated[str | None, _answer("question")] = None,
    compare: Annotated[str | None, _answer("compare")] = None,
    methods: Annotated[str | None, _answer("methods")] = None,
    standard: Annotated[str | None, _answer("standard")] = None,
    randomised: Annotated[str | None, _answer("randomised")] = None,
    record: Annotated[str | None, _answer("record")] = None,
    plants: Annotated[str | None, _answer("plants")] = None,
    names: Annotated[str | None, _answer("names")] = None,
    tray_size: Annotated[str | None, _answer("tray_size")] = None,
    caliper_unit: Annotated[str | None, _answer("caliper_unit")] = None,
    classes: Annotated[str | None, _answer("classes")] = None,
    later: Annotated[str | None, _answer("later")] = None,
    no_questions: Annotated[
        bool,
        typer.Option("--no-questions", help="Ask nothing; what is not given has its default."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Ask about ten questions, then write the record workbook.

    Enter takes the answer in brackets; any answer may be given as an option
    instead. It is FOLDER/records.xlsx; one that is there is never written over.
    """
    from takestats.pages.workbook_plan import FILE, first_book

    path = folder / FILE
    _refuse_to_write_over(path)
    options = {
        "title": title,
        "question": question,
        "compare": compare,
        "methods": methods,
        "standard": standard,
        "randomised": randomised,
        "record": record,
        "plants": plants,
        "names": names,
        "tray_size": tray_size,
        "caliper_unit": caliper_unit,
        "classes": classes,
        "later": later,
    }
    given = {key: value for key, value in options.items() if value is not None}
    answers = given if no_questions or as_json else _asked(given, season_only=season)
    book = first_book(answers, season_only=season)
    _write(folder, FILE, book)
    settings = {key: value for key, value in book.settings if value}
    if as_json:
        from takestats.cli.as_json import json_text

        parts = {"written": [path], "columns": list(book.layout.columns), "settings": settings}
        typer.echo(json_text({**parts, "layout": book.layout.mark}))
        return
    typer.echo("")
    for line in done_lines(str(path), len(book.layout.columns), len(settings)):
        typer.echo(line)
    if not season and (said := by_lot_line(settings.get("trial.randomised", "no"))):
        typer.echo(said)
    again = command_line("check", [str(path)], None, set_aside=False)
    typer.echo("")
    typer.echo(f"Next: fill in a row for each tray while you graft; then run {again}.")


def _refuse_to_write_over(path: Path) -> None:
    if path.exists() or path.is_symlink():
        raise FileError(
            where=str(path),
            what="there is already a file of this name",
            rule="A record workbook is never written over.",
            next_step="Name another folder, or give that file another name first.",
        )


def _asked(given: dict[str, str], *, season_only: bool) -> dict[str, str]:
    from takestats.cli.asking import ask_all
    from takestats.pages.workbook_answers import default_of, is_asked, questions, read_answer

    keys = tuple(questions(season_only=season_only))
    if not set(keys) <= set(given):
        typer.echo(OPENING + "\n")
    return given | ask_all(
        given,
        keys=keys,
        words=ASKS,
        still_asked=lambda key, answers: is_asked(key, answers, season_only=season_only),
        default=lambda key, answers: default_of(key, answers, season_only=season_only),
        check=read_answer,
    )


def _write(folder: Path, file: str, book: Any) -> None:
    from takestats.pages.files import write_one
    from takestats.pages.workbook import record_workbook

    with writing_into(folder):
        write_one(folder / file, record_workbook(book))
