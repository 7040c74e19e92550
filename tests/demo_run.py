"""The invented season's page, by the command a reader would run, once for all processes."""

from __future__ import annotations

import contextlib
import io
import os
import time
from dataclasses import asdict, dataclass
from pathlib import Path

from tests.made_once import MadeOnce


@dataclass(frozen=True, kw_only=True)
class DemoRun:
    """What `takestats demo` gave, said and wrote; ``folder`` is where it was run.

    ``seconds`` are those of the processor: a busy machine is not a slow program.
    """

    folder: Path
    code: int
    seconds: float
    said: str
    season_untouched: bool


def demo_run_of(made_once: MadeOnce) -> DemoRun:
    """The run, made unless another process makes or made it."""
    folder, told = made_once("demo_run", _made)
    return DemoRun(folder=folder, **told)


def _made(folder: Path) -> dict[str, object]:
    from takestats.cli.app import main
    from takestats.cli.demo import demo_season

    season = {p: p.read_bytes() for p in demo_season().iterdir() if p.is_file()}
    before, said, begun = Path.cwd(), io.StringIO(), time.process_time()
    code = -1
    try:
        os.chdir(folder)
        with contextlib.redirect_stdout(said):
            code = main(["demo"])
    finally:
        os.chdir(before)
        run = DemoRun(
            folder=folder,
            code=code,
            seconds=time.process_time() - begun,
            said=said.getvalue(),
            season_untouched=season
            == {p: p.read_bytes() for p in demo_season().iterdir() if p.is_file()},
        )
    return {name: value for name, value in asdict(run).items() if name != "folder"}
