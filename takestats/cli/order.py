"""How many understocks for next season? The order as a form, and its sentences on the screen."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from takestats.cli.options import AsJson, Out, SetAside, Trial
from takestats.cli.order_given import as_options, earlier_order, share_asked, takes_typed
from takestats.cli.progress import working
from takestats.cli.telling import writing_into
from takestats.errors import CountsError
from takestats.wording import order_command as words
from takestats.wording.shown import shown

if TYPE_CHECKING:
    from takestats.order.order_result import UnderstockOrder

FOLDER = Path("takestats_order")


def order(
    files: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="FILE",
            help="Records of past seasons, several files at once; none when all takes are typed.",
            show_default=False,
        ),
    ] = None,
    trial: Trial = None,
    assurance: Annotated[
        str,
        typer.Option(
            "--assurance",
            metavar="SHARE",
            help="Chance that a combination gives the plants wanted, as 90% or 0.95.",
        ),
    ] = "90%",
    take: Annotated[
        list[str] | None,
        typer.Option(
            "--take",
            metavar="NAME=POOR,USUAL,GOOD",
            help='Takes that are not on record, as "moth on virginiana=60%,75%,85%".',
            show_default=False,
        ),
    ] = None,
    earlier: Annotated[
        Path | None,
        typer.Option(
            "--earlier",
            metavar="FOLDER",
            help="An order placed before the count (its folder or order.json): says what changed.",
            show_default=False,
        ),
    ] = None,
    out: Out = None,
    as_json: AsJson = False,
    set_aside: SetAside = False,
) -> None:
    """Order next season's understock: plants wanted to grafts, seedlings, wood, days and money.

    Plants wanted stand under [targets] in the settings, wood, understock and days under [work].
    Writes into ./takestats_order unless --out names another folder.
    """
    given, typed = files or [], takes_typed(take or [])
    share, before, folder = share_asked(assurance), earlier_order(earlier), out or FOLDER
    if not given and trial is None:
        raise CountsError(**words.nothing_given())
    asked = _Asked(given, trial, assurance, take or [], set_aside)
    with working("Working out the order") as say:
        say("reading")
        placed = _placed(asked, share, typed, say)
        say("writing the page")
        from takestats.pages.order_page import write_order

        command = asked.typed(short=True, earlier=earlier)
        with as_options(), writing_into(folder):
            paths = write_order(placed, folder, earlier=before, command=command)
    if as_json:
        _as_json(placed, before, paths)
    else:
        _speak(placed, before, paths, asked.typed(earlier=folder))


class _Asked:
    """What was typed, to be typed again."""

    def __init__(
        self, files: list[str], trial: Path | None, assurance: str, takes: list[str], aside: bool
    ) -> None:
        self.files, self.trial, self.assurance = files, trial, assurance
        self.takes, self.aside = takes, aside

    def typed(self, *, earlier: Path | None = None, short: bool = False) -> str:
        """The command again; short: names without their folders, the same on any machine."""
        import shlex

        def name(path: str | Path) -> str:
            return Path(path).name if short else str(path)

        files = self.files if self.files or short else ["FILE"]
        said = ["takestats", "order", *(name(file) for file in files)]
        said += [] if self.trial is None else ["--trial", name(self.trial)]
        said += [] if self.assurance == "90%" else ["--assurance", self.assurance]
        said += [word for typed in self.takes for word in ("--take", typed)]
        said += ["--set-aside"] if self.aside else []
        said += [] if earlier is None else ["--earlier", name(earlier)]
        return shlex.join(said)


def _placed(
    asked: _Asked, share: float, typed: dict[str, dict[str, float]], say: Any
) -> UnderstockOrder:
    from takestats.order.understock_order import understock_order
    from takestats.records.read import read_records
    from takestats.records.settings import read_trial

    if not asked.files:
        settings = read_trial(asked.trial or {})
        with as_options():
            return understock_order({}, assurance=share, takes=typed, settings=settings)
    records = read_records(asked.files, trial=asked.trial, set_aside=asked.aside)
    say("reckoning from past seasons")
    with as_options():
        return understock_order(records, assurance=share, takes=typed)


def _speak(
    placed: UnderstockOrder, before: Mapping[str, Any] | None, paths: list[Path], again: str
) -> None:
    from takestats.cli.page_task import tell_written

    if placed.banner:
        typer.echo(shown(placed.banner) + "\n")
    for sentence in placed.sentences:
        typer.echo(f"- {shown(sentence)}")
    if before is not None:
        typer.echo("")
        for sentence in placed.changed_since(before).sentences:
            typer.echo(f"- {shown(sentence)}")
    typer.echo("")
    tell_written(paths)
    typer.echo("")
    typer.echo(words.next_line(f"`{again}`", str(paths[2])))


def _as_json(placed: UnderstockOrder, before: Mapping[str, Any] | None, paths: list[Path]) -> None:
    from takestats.cli.as_json import json_text
    from takestats.pages.order_page import order_parts

    change = None if before is None else placed.changed_since(before)
    typer.echo(json_text({**order_parts(placed, change), "written": paths}))
