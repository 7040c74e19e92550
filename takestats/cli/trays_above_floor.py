"""How many trays before a take is shown to lie above the lowest one worth having?"""

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
    TraySize,
)


def above_floor(
    floor: Annotated[
        str,
        typer.Option("--floor", metavar="SHARE", help="The lowest take worth having: 70% or 0.7."),
    ],
    take: Annotated[
        str, typer.Option("--take", metavar="SHARE", help="The take you expect: 85% or 0.85.")
    ],
    tray_size: TraySize = None,
    icc: Icc = None,
    past: Past = None,
    trial: Settings = None,
    power: PowerWanted = "80%",
    most_trays: MostTrays = 500,
    new: NewName = "",
    out: PlanOut = FOLDER,
    seed: Seed = 1,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """How many trays before I know that the take is above my floor?

    Writes tray_plan.html, its tables and trial.toml. The number is that of the most uneven trays
    looked at; the page has the others.
    """
    from takestats.planning.above_floor import trays_to_exceed_floor

    (low,) = shares([floor], "--floor")
    (expected,) = shares([take], "--take")
    (wanted,) = shares([power], "--power")
    found = given(past, trial, new=new, set_aside=set_aside)
    size, said = tray_size_of(tray_size, found)
    make_plan(
        lambda say: trays_to_exceed_floor(
            low,
            expected,
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
    )
