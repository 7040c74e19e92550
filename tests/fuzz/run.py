"""How does one broken file come through: read, refused in four parts, or did it stumble?"""

from __future__ import annotations

import contextlib
import io
import signal
import time
import traceback
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from types import FrameType

from takestats.cli.app import main
from takestats.errors import RecordsError, TakeError
from takestats.records.read import read_records
from takestats.records.result import Records
from takestats.records.settings import read_trial
from tests.fuzz.broken_bytes import broken_csv, broken_parquet, broken_settings, broken_xlsx
from tests.fuzz.planted_faults import PlantedFile, planted_file
from tests.fuzz.seeds import csv_file, grid, wide_rows

MOST_SECONDS = 10.0
"""Of processor time for one file: how busy the machine is with other things does not count."""

SHARES = {"planted": 35, "csv": 20, "xlsx": 20, "parquet": 10, "settings": 15}
"""Of a hundred files, how many are of each kind."""

CHECKED = 0.1
"""The share of files that go through the command ``check`` too."""

_BREAKERS: dict[str, Callable[[Random], bytes]] = {
    "csv": broken_csv,
    "xlsx": broken_xlsx,
    "parquet": broken_parquet,
    "settings": broken_settings,
}


class TooSlowError(BaseException):
    """A file that was not done in time; not an Exception, so that nothing catches it."""


@dataclass
class Tally:
    """What came of the files of one kind."""

    files: int = 0
    read: int = 0
    refused: int = 0
    planted: int = 0
    told: int = 0
    stumbles: list[str] = field(default_factory=list)
    hangs: list[str] = field(default_factory=list)
    silent: list[str] = field(default_factory=list)
    slowest: float = 0.0

    @property
    def faulty(self) -> list[str]:
        """All that came through as it should not."""
        return [*self.stumbles, *self.hangs, *self.silent]


def fuzz(
    numbers: Iterable[int],
    seed: int,
    folder: Path,
    say: Callable[[str], object] | None = None,
) -> dict[str, Tally]:
    """Break the files of these numbers and read each; what stumbles is kept in the folder.

    File number n of a seed is the same however many are made, so that it can be made again.
    """
    tallies: dict[str, Tally] = defaultdict(Tally)
    kinds, weights = list(SHARES), list(SHARES.values())
    folder.mkdir(parents=True, exist_ok=True)
    with _alarm():
        for done, number in enumerate(numbers, start=1):
            random = Random(f"{seed}/{number}")
            kind = random.choices(kinds, weights)[0]
            _one(tallies[kind], kind, number, random, folder)
            if say is not None and done % 1000 == 0:
                say(f"{done} files")
    return dict(tallies)


def together(parts: Sequence[Mapping[str, Tally]]) -> dict[str, Tally]:
    """The tallies of several runs as one, in the order of the kinds."""
    whole: dict[str, Tally] = {}
    for kind in SHARES:
        found = [part[kind] for part in parts if kind in part]
        if found:
            whole[kind] = Tally(
                **{
                    name: sum(getattr(one, name) for one in found)
                    for name in ("files", "read", "refused", "planted", "told")
                },
                **{
                    name: [line for one in found for line in getattr(one, name)]
                    for name in ("stumbles", "hangs", "silent")
                },
                slowest=max(one.slowest for one in found),
            )
    return whole


def _one(tally: Tally, kind: str, number: int, random: Random, folder: Path) -> None:
    broken: PlantedFile | None = None
    trial: Path | None = None
    if kind == "planted":
        broken = planted_file(random)
        path = folder / f"broken.{broken.kind}"
        path.write_bytes(broken.data)
        trial = folder / "trial.toml"
        trial.write_text(broken.settings, "utf-8")
    elif kind == "settings":
        path = folder / "sound.csv"
        if not path.exists():
            path.write_bytes(csv_file(grid(wide_rows())))
        trial = folder / "trial.toml"
        trial.write_bytes(_BREAKERS[kind](random))
    else:
        path = folder / f"broken.{kind}"
        path.write_bytes(_BREAKERS[kind](random))
    tally.files += 1
    begun = time.process_time()
    try:
        signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
        if kind == "settings" and trial is not None:
            with contextlib.suppress(TakeError):
                read_trial(trial)
        _judge(tally, number, path, trial, broken, set_aside=broken is not None or number % 2 == 0)
        if random.random() < CHECKED:
            _through_the_command(tally, number, path, trial)
    except TooSlowError:
        tally.hangs.append(f"{number}: not done in {MOST_SECONDS} s")
        _keep(path, trial, folder, number)
    except Exception:
        tally.stumbles.append(f"{number}: {traceback.format_exc(limit=-4)}")
        _keep(path, trial, folder, number)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    tally.slowest = max(tally.slowest, time.process_time() - begun)


def _judge(
    tally: Tally,
    number: int,
    path: Path,
    trial: Path | None,
    broken: PlantedFile | None,
    *,
    set_aside: bool,
) -> None:
    """Read the file; every planted cell must be told, and every answer be whole."""
    try:
        records = read_records(path, trial=trial, set_aside=set_aside)
    except TakeError as refused:
        tally.refused += 1
        if not all([refused.where, refused.what, refused.rule, refused.next_step]):
            tally.stumbles.append(f"{number}: a part is missing: {refused!r}")
        found = set()
        if isinstance(refused, RecordsError):
            found = _cells(refused)
        elif broken is not None:
            tally.silent.append(f"{number}: {refused}")
    else:
        tally.read += 1
        found = _cells(records)
        trays = records.trays
        assert not (trays["taken"] > trays["grafted"]).any()
        assert trays["line"].is_unique
        said = records.in_words() + records.banner + "".join(records.notes)
        said.encode("utf-8")
        for table in (records.table, records.counts, records.problems, records.changes):
            table.to_csv(index=False).encode("utf-8")
    if broken is not None:
        for what, row, column in broken.cells:
            tally.planted += 1
            if (path.name, broken.sheet, row, column) in found:
                tally.told += 1
            else:
                tally.silent.append(f"{number}: {what} at row {row}, column {column} ({path.name})")


def _cells(told: Records | RecordsError) -> set[tuple[str, str, int, str]]:
    """File, sheet, row and column of all that is said about single cells."""
    tables = [told.problems, *([told.changes] if isinstance(told, Records) else [])]
    return {
        (str(file), str(sheet), int(row), str(column))
        for table in tables
        for file, sheet, row, column in table[["file", "sheet", "row", "column"]].itertuples(
            index=False
        )
    }


def _through_the_command(tally: Tally, number: int, path: Path, trial: Path | None) -> None:
    """``check`` ends with 0 or 2, and never says that it met what it does not handle."""
    words = ["check", str(path), "--on", "2026-06-20"]
    words += [] if trial is None else ["--trial", str(trial)]
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(words)
    if code not in (0, 2):
        tally.stumbles.append(f"{number}: check ended with {code}: {err.getvalue()[:400]}")


def _keep(path: Path, trial: Path | None, folder: Path, number: int) -> None:
    kept = folder / "kept"
    kept.mkdir(exist_ok=True)
    for one in (path, trial):
        if one is not None:
            (kept / f"{number}_{one.name}").write_bytes(one.read_bytes())


@contextlib.contextmanager
def _alarm() -> Iterator[None]:
    def ring(_signal: int, _frame: FrameType | None) -> None:
        raise TooSlowError

    before = signal.signal(signal.SIGPROF, ring)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
