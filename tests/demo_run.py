"""The invented season's page, by the command a reader would run: once for all processes of a run.

It is the most that a test makes, so the processes of pytest share one: the first that needs it
makes it, the others wait for what it wrote down.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import time
from dataclasses import asdict, dataclass
from pathlib import Path

WAIT_SECONDS = 600


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


def demo_run_in(shared: Path) -> DemoRun:
    """The run in this folder, made unless another process makes or made it."""
    folder, told = shared / "demo_run", shared / "demo_run.json"
    try:
        folder.mkdir()
    except FileExistsError:
        until = time.monotonic() + WAIT_SECONDS
        while not told.exists():
            assert time.monotonic() < until, "the other process made no demo"
            time.sleep(0.2)
    else:
        told_first = told.with_suffix(".part")
        told_first.write_text(json.dumps(_made(folder)), encoding="utf-8")
        told_first.rename(told)
    return DemoRun(folder=folder, **json.loads(told.read_text("utf-8")))


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
