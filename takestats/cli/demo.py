"""What does a season page look like? Made from an invented season that ships along."""

from __future__ import annotations

from pathlib import Path

import typer

from takestats.cli.options import AsJson, Out
from takestats.cli.page_task import make_season_page, read_and_get_ready
from takestats.cli.telling import TaskFailedError
from takestats.errors import FileError

FOLDER = Path("takestats_demo")
SEASON = "quern_hollow"


def demo(out: Out = None, as_json: AsJson = False) -> None:
    """Make the season page of an invented nursery, from records to page.

    Writes into ./takestats_demo unless --out names another folder.
    """
    season = demo_season()
    files = [str(file) for file in sorted(season.glob("season_*.csv"))]
    records, studio = read_and_get_ready(files, season / "trial.toml")
    make_season_page(records, out or FOLDER, studio, as_json=as_json)
    if not as_json:
        typer.echo(
            "Next: open the page; then run `takestats check` on a file of your own records, "
            "one line per tray."
        )


def demo_season() -> Path:
    """Find the invented season: inside an installed package, or beside a checkout.

    Returns
    -------
    pathlib.Path
        The folder with ``season_*.csv`` and ``trial.toml``.

    Raises
    ------
    TaskFailedError
        When this installation does not carry it.
    """
    package = Path(__file__).parents[1]
    for place in (package / "_demo" / SEASON, package.parent / "datasets_demo" / SEASON):
        if (place / "trial.toml").is_file():
            return place
    raise TaskFailedError(
        FileError(
            where="the invented season",
            what="is not part of this installation.",
            rule="`takestats demo` reads the season that is installed with the package.",
            next_step="install takestats again, or run `takestats report` on your own records.",
        )
    )
