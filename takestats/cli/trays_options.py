"""Which options do the questions about trays share, and how may several values follow one?"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

#: Options that may be followed by several values at once, as the shell expands season_*.csv.
SEVERAL = ("--past", "--icc", "--so-far")

TraySize = Annotated[
    int | None,
    typer.Option(
        "--tray-size",
        metavar="GRAFTS",
        help="Grafts in a tray; else what the settings say, or most trays of --past.",
        show_default=False,
    ),
]
Icc = Annotated[
    list[str] | None,
    typer.Option(
        "--icc",
        metavar="NUMBER...",
        help="How much trays differ (intra-tray correlation), one number or several; "
        "else what --past shows, else 0.02 to 0.20.",
        show_default=False,
    ),
]
Past = Annotated[
    list[str] | None,
    typer.Option(
        "--past",
        metavar="FILE...",
        help="Records of past seasons: how much trays differ is read off them.",
        show_default=False,
    ),
]
Settings = Annotated[
    Path | None,
    typer.Option(
        "--trial",
        metavar="SETTINGS.toml",
        help="Settings of the nursery or trial: short names, date order, tray size.",
        show_default=False,
    ),
]
PowerWanted = Annotated[
    str,
    typer.Option(
        "--power", metavar="SHARE", help="In how many such trials it should be found: 80% or 0.8."
    ),
]
MostTrays = Annotated[
    int,
    typer.Option("--most-trays", metavar="TRAYS", help="The most trays (of each) to think of."),
]
NewName = Annotated[
    str,
    typer.Option(
        "--new",
        metavar="NAME",
        help="What is on trial, as the records will name it; for trial.toml.",
        show_default=False,
    ),
]
StandardName = Annotated[
    str,
    typer.Option(
        "--standard",
        metavar="NAME",
        help="What it is held against, as the records will name it; for trial.toml.",
        show_default=False,
    ),
]
PlanOut = Annotated[
    Path,
    typer.Option("--out", metavar="FOLDER", help="Folder to write into."),
]
Seed = Annotated[
    int, typer.Option("--seed", metavar="NUMBER", help="Same question, same seed, same digits.")
]
FOLDER = Path("takestats_trays")


class ManyValues(TyperCommand):
    """A command where `--past a.csv b.csv` is read as `--past a.csv --past b.csv`."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the words after the command."""
        return super().parse_args(ctx, each_named(args))


def each_named(args: Sequence[str], several: Sequence[str] = SEVERAL) -> list[str]:
    """Name an option again before each further value.

    Examples
    --------
    >>> each_named(["--past", "a.csv", "b.csv", "--seed", "2"])
    ['--past', 'a.csv', '--past', 'b.csv', '--seed', '2']
    """
    out: list[str] = []
    open_option, given = "", 0
    for word in args:
        if word.startswith("-") and word != "-":
            open_option, given = (word if word in several else ""), 0
        elif open_option:
            given += 1
            if given > 1:
                out.append(open_option)
        out.append(word)
    return out
