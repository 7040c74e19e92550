"""How many trays before two methods can be told apart?"""

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


def tell_apart(
    takes: Annotated[
        tuple[str, str],
        typer.Option(
            "--takes",
            metavar="HAVE WORTH",
            help="The take you have, and the one worth changing for: --takes 80% 90%.",
        ),
    ],
    tray_size: TraySize = None,
    arms: Annotated[
        int, typer.Option("--arms", metavar="METHODS", help="Methods, the standard among them.")
    ] = 2,
    both_in_each_tray: Annotated[
        bool,
        typer.Option(
            "--both-in-each-tray",
            help="Both methods in every tray, drawn by lot within it, not whole trays of either.",
        ),
    ] = False,
    at_most_grafts: Annotated[
        int | None,
        typer.Option(
            "--at-most-grafts",
            metavar="GRAFTS",
            help="Grafts of the whole trial at most: says what so many can tell.",
            show_default=False,
        ),
    ] = None,
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
    """How many trays of each before I can tell these two takes apart?

    Writes tray_plan.html, its tables and trial.toml. The number is that of the most uneven trays
    looked at; the page has the others.
    """
    from takestats.planning.tell_apart import trays_to_tell_apart

    have, worth = shares(takes, "--takes")
    (wanted,) = shares([power], "--power")
    found = given(past, trial, new=new, standard=standard, set_aside=set_aside)
    size, said = tray_size_of(tray_size, found)
    make_plan(
        lambda say: trays_to_tell_apart(
            have,
            worth,
            size or 0,
            arms=arms,
            within_trays=both_in_each_tray,
            at_most_grafts=at_most_grafts,
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
    )
