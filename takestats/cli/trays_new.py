"""A combination not yet tried: what trial should it get?"""

from __future__ import annotations

from typing import Annotated

import typer

from takestats.cli.options import AsJson, SetAside
from takestats.cli.plan_task import make_plan
from takestats.cli.trays_given import Given, given, tray_size_of
from takestats.cli.trays_options import FOLDER, Past, PlanOut, Seed, Settings, TraySize


def new(
    scion: Annotated[
        str,
        typer.Option(
            "--scion",
            metavar="NAME",
            help="Genus species 'Cultivar', or your own short name of the settings.",
        ),
    ],
    understock: Annotated[
        str,
        typer.Option(
            "--understock", metavar="NAME", help="Genus species, or your own short name of it."
        ),
    ],
    past: Past = None,
    tray_size: TraySize = None,
    at_most_grafts: Annotated[
        int | None,
        typer.Option(
            "--at-most-grafts",
            metavar="GRAFTS",
            help="Scion pieces of the new one that you have.",
            show_default=False,
        ),
    ] = None,
    trial: Settings = None,
    out: PlanOut = FOLDER,
    seed: Seed = 1,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """I would like to put this on that: what trial should it get before I believe it?

    Writes tray_plan.html, its tables and trial.toml. One recommendation, with the plans behind it;
    past seasons of combinations you know make it narrower.
    """
    from takestats.planning.new_combination import plan_new_combination

    found = given(past, trial, set_aside=set_aside)
    size, said = tray_size_of(tray_size, found)
    make_plan(
        lambda say: plan_new_combination(
            found.full_name(scion),
            found.full_name(understock),
            found.past,
            tray_size=size or 0,
            at_most_grafts=at_most_grafts,
            seed=seed,
            progress=say,
        ),
        # What is on trial, and its standard, are the plan's own.
        Given(past=found.past, settings=found.settings, new="", standard=""),
        out,
        as_json=as_json,
        added=said,
        floor="[trial] floor of the settings",
        standard="the standard",
    )
