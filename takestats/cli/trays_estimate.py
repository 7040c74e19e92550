"""How many trays before a take is known to within so many points?"""

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
    Seed,
    Settings,
    TraySize,
)


def estimate(
    take: Annotated[
        str, typer.Option("--take", metavar="SHARE", help="The take you expect: 85% or 0.85.")
    ],
    margin: Annotated[
        str,
        typer.Option(
            "--margin",
            metavar="POINTS",
            help='Points either way that are near enough: "5 points", 5points or 0.05.',
        ),
    ],
    tray_size: TraySize = None,
    icc: Icc = None,
    past: Past = None,
    trial: Settings = None,
    most_trays: MostTrays = 500,
    new: NewName = "",
    out: PlanOut = FOLDER,
    seed: Seed = 1,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """How many trays before I know the take to within so many points?

    Writes tray_plan.html, its tables and trial.toml. The number is that of the most uneven trays
    looked at; the page has the others.
    """
    from takestats.planning.estimate import trays_to_estimate
    from takestats.records.shares import read_points

    (expected,) = shares([take], "--take")
    step = read_points(margin, "--margin")
    found = given(past, trial, new=new, set_aside=set_aside)
    size, said = tray_size_of(tray_size, found)
    make_plan(
        lambda say: trays_to_estimate(
            expected,
            step,
            size or 0,
            icc=correlations(icc),
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
