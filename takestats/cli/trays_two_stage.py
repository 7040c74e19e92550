"""Scion wood is scarce: when may a first small batch stop the trial?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from takestats.cli.options import AsJson, SetAside
from takestats.cli.plan_task import make_plan
from takestats.cli.trays_given import Given, correlations, given, shares, tray_size_of
from takestats.cli.trays_options import (
    FOLDER,
    Icc,
    NewName,
    Past,
    PlanOut,
    PowerWanted,
    Settings,
    TraySize,
)
from takestats.cli.trays_refused import as_options
from takestats.wording.shown import shown

if TYPE_CHECKING:
    from takestats.planning.so_far import StagedRule
    from takestats.planning.stage_plans import StagePlans
    from takestats.planning.two_stage import TwoStage


def two_stage(
    floor: Annotated[
        str | None,
        typer.Option(
            "--floor",
            metavar="SHARE",
            help="A take that is not worth having: 70% or 0.7.",
            show_default=False,
        ),
    ] = None,
    promising: Annotated[
        str | None,
        typer.Option(
            "--promising",
            metavar="SHARE",
            help="A take that would be: 90% or 0.9.",
            show_default=False,
        ),
    ] = None,
    tray_size: TraySize = None,
    icc: Icc = None,
    past: Past = None,
    trial: Settings = None,
    mistake: Annotated[
        str,
        typer.Option(
            "--by-mistake",
            metavar="SHARE",
            help="In how many trials at most one at the floor may be kept.",
        ),
    ] = "5%",
    power: PowerWanted = "80%",
    least_total: Annotated[
        bool,
        typer.Option(
            "--least-total", help="Fewest grafts in all, not fewest to be expected when no good."
        ),
    ] = False,
    so_far: Annotated[
        list[str] | None,
        typer.Option(
            "--so-far",
            metavar="FILE...",
            help="Records of the trial so far: says go on, drop it, or wait, and writes nothing.",
            show_default=False,
        ),
    ] = None,
    new: NewName = "",
    out: PlanOut = FOLDER,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """Scion wood is scarce: graft a few first, and when may I stop?

    Writes tray_plan.html, its tables and trial.toml. With --so-far the rule is read off the
    settings (--trial), or made again from --floor and --promising.
    """
    found = given(past, trial, new=new, set_aside=set_aside)
    mistakes = shares([mistake], "--by-mistake")[0]
    wanted = shares([power], "--power")[0]
    takes = [
        None if text is None else shares([text], option)[0]
        for text, option in ((floor, "--floor"), (promising, "--promising"))
    ]
    low, high = takes
    size, said = tray_size_of(tray_size, found, needed=False)

    def rules(say: object = None) -> StagePlans:
        from takestats.planning.stage_plans import stage_plans

        if low is None or high is None:
            raise _lacking("--floor" if low is None else "--promising", so_far is not None)
        return stage_plans(
            low,
            high,
            alpha=mistakes,
            power=wanted,
            objective="least_total" if least_total else "least_expected",
            icc=correlations(icc),
            tray_size=size,
            past=found.past,
            progress=say if callable(say) else None,
        )

    if so_far:
        again = low is not None or high is not None
        with as_options(alpha="--by-mistake", grafted="--so-far"):
            _tell_standing(so_far, found, trial, rules().chosen if again else None,
                           as_json=as_json, set_aside=set_aside)  # fmt: skip
        return
    make_plan(rules, found, out, as_json=as_json, added=said, alpha="--by-mistake")


def _tell_standing(
    files: list[str],
    found: Given,
    trial: Path | None,
    rule: TwoStage | None,
    *,
    as_json: bool,
    set_aside: bool,
) -> None:
    from takestats.planning.so_far_counts import standing
    from takestats.records.read import read_records

    records = read_records(files, trial=trial, set_aside=set_aside)
    used = rule if rule is not None else _settled_rule(records.trial.trial.get("stages"))
    new = found.new or str(records.trial.trial.get("new") or "")
    told = standing(used, records, new)
    if as_json:
        from takestats.cli.as_json import json_text, records_parts

        typer.echo(json_text({**records_parts(records), "so_far": told, "rule": used}))
        return
    if records.banner:
        typer.echo(shown(records.banner) + "\n")
    for sentence in told.sentences:
        typer.echo(f"- {shown(sentence)}")
    typer.echo(f"\nNext: {_NEXT[told.decision]}")


_NEXT = {
    "wait": "count at the settled count, then ask again with the same command.",
    "graft the first stage": "complete the first stage, count it, then ask again.",
    "drop": "give its bench room to another combination; keep the counts.",
    "go on": "graft the rest of the second stage, count it, then ask again.",
    "give up": "keep the counts: they are part of what the next plan rests on.",
    "keep": "`takestats report` gives its take with the interval; a rule gives no take.",
}


def _settled_rule(stages: object) -> StagedRule:
    from takestats.planning.so_far import read_stages

    rule = read_stages(stages)
    if rule is None:
        raise _lacking("--trial", True)
    return rule


def _lacking(option: str, reading: bool) -> Exception:
    from takestats.errors import CountsError

    if option == "--trial":
        return CountsError(
            where="--so-far",
            what="neither the settings nor the options hold a rule in two stages.",
            rule="the counts so far are read by the rule that was set beforehand.",
            next_step="add --trial with the trial.toml of the plan, or --floor and --promising "
            "with the options that it was planned with.",
        )
    return CountsError(
        where=option,
        what="it is not given.",
        rule="a rule in two stages lies between a take not worth having and one that is.",
        next_step="give both, as --floor 70% --promising 90%"
        + (", or neither and --trial with the trial.toml of the plan." if reading else "."),
    )
