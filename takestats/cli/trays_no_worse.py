"""How many trays before the new one is shown to be no worse than the standard?"""

from __future__ import annotations

from typing import Annotated

import typer

from takestats.cli.options import AsJson, SetAside
from takestats.cli.plan_task import make_plan
from takestats.cli.trays_given import correlations, given, shares, tray_size_of
from takestats.cli.trays_options import (
    FOLDER,
    Icc,
    MostTrays,
    NewName,
    Past,
    PlanOut,
    PowerWanted,
    Seed,
    Settings,
    StandardName,
    TraySize,
)


def no_worse(
    standard_take: Annotated[
        str,
        typer.Option(
            "--standard-take", metavar="SHARE", help="The take of the standard: 90% or 0.9."
        ),
    ],
    margin: Annotated[
        str,
        typer.Option(
            "--margin",
            metavar="POINTS",
            help='Points worse that would still do: "10 points", 10points or 0.1.',
        ),
    ],
    new_take: Annotated[
        str | None,
        typer.Option(
            "--new-take",
            metavar="SHARE",
            help="The take you expect of the new one; else as good as the standard.",
            show_default=False,
        ),
    ] = None,
    tray_size: TraySize = None,
    icc: Icc = None,
    past: Past = None,
    trial: Settings = None,
    power: PowerWanted = "80%",
    most_trays: MostTrays = 500,
    new: NewName = "",
    standard: StandardName = "",
    out: PlanOut = FOLDER,
    seed: Seed = 1,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """How many trays of each before I know that the new one is no worse than the standard?

    Writes tray_plan.html, its tables and trial.toml. The number is that of the most uneven trays
    looked at; the page has the others.
    """
    from takestats.planning.no_worse import trays_to_show_no_worse
    from takestats.records.shares import read_points

    (old,) = shares([standard_take], "--standard-take")
    (fresh,) = shares([new_take if new_take is not None else standard_take], "--new-take")
    step = read_points(margin, "--margin")
    (wanted,) = shares([power], "--power")
    found = given(past, trial, new=new, standard=standard, set_aside=set_aside)
    size, said = tray_size_of(tray_size, found)
    make_plan(
        lambda say: trays_to_show_no_worse(
            old,
            fresh,
            step,
            size or 0,
            icc=correlations(icc),
            power=wanted,
            past=found.past,
            most_trays=most_trays,
            seed=seed,
            progress=say,
        ),
        found,
        out,
        as_json=as_json,
        added=said,
        standard="--standard-take",
        new="--new-take",
    )
