"""The ``takestats`` command: which commands are there, and how does a run end?"""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Sequence
from glob import glob
from typing import Annotated, NoReturn

import typer

from takestats._version import __version__
from takestats.cli.begin import STOPPED, say_stopped
from takestats.cli.bench import bench
from takestats.cli.check import check
from takestats.cli.compare import compare
from takestats.cli.demo import demo
from takestats.cli.order import order
from takestats.cli.report import report
from takestats.cli.start import start
from takestats.cli.telling import tell
from takestats.cli.trays import trays
from takestats.cli.year import year

SHELL_LEAVES_STARS = os.name == "nt"

app = typer.Typer(
    name="takestats",
    help="From a nursery's grafting records to honest take rates, with their intervals.",
    add_completion=False,
    rich_markup_mode=None,  # plain help: no heavy import before the first line
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command()(start)
app.command()(bench)
app.command()(check)
app.command()(report)
app.command()(compare)
app.command()(order)
app.add_typer(trays)
app.command()(demo)


@app.callback(invoke_without_command=True)
def bare(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    """From a nursery's grafting records to honest take rates, with their intervals.

    Run `takestats` alone to see the grafting year and what to run when.
    """
    if version:
        typer.echo(__version__)
        raise typer.Exit
    if context.invoked_subcommand is None:
        typer.echo(year())


def spread(words: Sequence[str]) -> list[str]:
    """Put the files that a word with a star stands for in its place, as other shells do.

    On Windows the shell leaves ``season_*.csv`` to the program. A word that names no
    file stays as it was typed.
    """
    return [
        name for word in words for name in (sorted(glob(word)) if "*" in word else []) or [word]
    ]


def main(args: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 2 bad input, 1 failed task.

    Parameters
    ----------
    args : sequence of str, optional
        The words after ``takestats``; those of this process by default.

    Returns
    -------
    int
        The exit code.
    """
    given = list(args) if args is not None else sys.argv[1:]
    if args is None and SHELL_LEAVES_STARS:
        given = spread(given)
    as_json = "--json" in given
    try:
        code = app(args=given, prog_name="takestats", standalone_mode=False)
    except Exception as error:  # the one place where every fault is told and none is thrown
        return tell(error, as_json=as_json)
    if code == STOPPED:
        say_stopped()
    return int(code or 0)


def run() -> NoReturn:
    """Run the command line and leave with its exit code."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        # The matrices here are small: several threads wait for each other longer than they work.
        os.environ.setdefault(name, "1")
    if not sys.warnoptions:
        # What a grower must know is said in sentences, not in library warnings.
        warnings.simplefilter("ignore")
    for stream in (sys.stdout, sys.stderr):
        # A console that cannot show a letter shows "?" instead of stopping.
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
    sys.exit(main())
