"""Which questions about the size of a trial are there, and how is each asked?"""

from __future__ import annotations

import typer

from takestats.cli.trays_above_floor import above_floor
from takestats.cli.trays_estimate import estimate
from takestats.cli.trays_new import new
from takestats.cli.trays_no_worse import no_worse
from takestats.cli.trays_options import ManyValues
from takestats.cli.trays_tell_apart import tell_apart
from takestats.cli.trays_two_stage import two_stage

QUESTIONS = """\
How many trays does a trial need? Six questions, each with its own command.

  How well will I know a take?
      takestats trays estimate --take 85% --margin 5points --tray-size 30
  Can I tell two methods apart?
      takestats trays tell-apart --takes 80% 90% --tray-size 30
  Is the take above the lowest worth having?
      takestats trays above-floor --floor 70% --take 85% --tray-size 30
  Is the new one no worse than my standard?
      takestats trays no-worse --standard-take 90% --margin 10points --tray-size 30
  Scion wood is scarce: may a first small batch stop it?
      takestats trays two-stage --floor 70% --promising 90% --tray-size 12
  A combination nobody here has tried: what trial should it get?
      takestats trays new --scion "Genus species 'Cultivar'"
          --understock "Genus species" --past season1.csv season2.csv

With --past FILE... how much trays differ is read off your own seasons; without it the answer
is a range. Each writes a page, its tables, and trial.toml, by which `takestats report` later
answers the question. Help: takestats trays QUESTION --help"""

trays = typer.Typer(
    name="trays",
    help="How many trays does a trial need, and by which rule will it be read?",
    add_completion=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)
trays.command("estimate", cls=ManyValues)(estimate)
trays.command("tell-apart", cls=ManyValues)(tell_apart)
trays.command("above-floor", cls=ManyValues)(above_floor)
trays.command("no-worse", cls=ManyValues)(no_worse)
trays.command("two-stage", cls=ManyValues)(two_stage)
trays.command("new", cls=ManyValues)(new)


@trays.callback(invoke_without_command=True)
def questions(context: typer.Context) -> None:
    """How many trays does a trial need, and by which rule will it be read?

    Run `takestats trays` alone to see the six questions with an example of each.
    """
    if context.invoked_subcommand is None:
        typer.echo(QUESTIONS)
