"""Long runs in pieces: what is done is kept, what is missing is made, on several cores."""

from __future__ import annotations

import ast
import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import joblib
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

ROOT = Path(__file__).resolve().parents[2]
# Seeds of trials that no earlier run has seen.
FRESH = 1000


@dataclass(frozen=True)
class Piece:
    """Some settings of a row, judged with one seed: one small file.

    Parameters
    ----------
    row : str
        Which row of the table of bars.
    name : str
        Stem of the file.
    seed : int
    trials : int
        Simulated trials of each setting.
    settings : tuple of (index, setting)
        The index is part of the random seed, so a piece does not depend on its neighbours.
    judge : callable
        ``judge(setting, trials, seed)`` gives one record; a function of a module.
    sources : tuple of str
        Code whose change makes the piece worthless: paths under the repository, ``*`` allowed.
    """

    row: str
    name: str
    seed: int
    trials: int
    settings: tuple[tuple[int, Any], ...]
    judge: Callable[[Any, int, tuple[int, ...]], dict[str, Any]]
    sources: tuple[str, ...]

    def stamp(self) -> str:
        """What the result hangs on: the code (words and comments left out) and what was asked."""
        asked = json.dumps(
            [self.row, self.seed, self.trials, [[i, asdict(s)] for i, s in self.settings]],
            sort_keys=True,
        )
        parts = [code_print(path) for path in self.sources] + [asked]
        return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:16]


@lru_cache(maxsize=512)
def _file_print(path: Path) -> str:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if not isinstance(body, list) or not body:
            continue
        first = body[0]
        if (
            isinstance(first, ast.Expr)
            and isinstance(first.value, ast.Constant)
            and isinstance(first.value.value, str)
        ):
            body[0] = ast.Pass()
    return hashlib.sha256(ast.dump(tree).encode()).hexdigest()


def code_print(path: str) -> str:
    """Fingerprint of a file, or of all files of a pattern, without docstrings and comments."""
    files = sorted(ROOT.glob(path))
    if not files:
        raise FileNotFoundError(ROOT / path)
    return " ".join(f"{file.relative_to(ROOT)}:{_file_print(file)}" for file in files)


def write_whole(path: Path, text: str) -> None:
    """Write a file whole or not at all."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.chmod(temporary, 0o644)
        os.replace(temporary, path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def kept(piece: Piece, work: Path) -> list[dict[str, Any]] | None:
    """Records of a finished piece; None when it is missing or its code has changed."""
    path = work / f"{piece.name}.json"
    if not path.exists():
        return None
    found = json.loads(path.read_text(encoding="utf-8"))
    records: list[dict[str, Any]] = found["records"]
    return records if found["stamp"] == piece.stamp() else None


def _make(piece: Piece, work: Path, stamp: str) -> list[dict[str, Any]]:
    records = []
    for index, setting in piece.settings:
        record = piece.judge(setting, piece.trials, (piece.seed, index))
        records.append(
            {"row": piece.row, "seed": piece.seed, "index": index, "trials": piece.trials} | record
        )
    write_whole(
        work / f"{piece.name}.json",
        json.dumps({"stamp": stamp, "records": records}, indent=1) + "\n",
    )
    return records


def make_pieces(
    pieces: Sequence[Piece], work: Path, jobs: int, *, quiet: bool = False
) -> list[dict[str, Any]]:
    """Make what is missing, read what is there, give all records in order."""
    work.mkdir(parents=True, exist_ok=True)
    if not (work / ".gitignore").exists():
        write_whole(work / ".gitignore", "*\n")
    there = {piece.name: kept(piece, work) for piece in pieces}
    missing = [piece for piece in pieces if there[piece.name] is None]
    if missing:
        columns = (
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            TimeRemainingColumn(),
        )
        with Progress(*columns, disable=quiet) as progress:
            task = progress.add_task(
                missing[0].row, total=len(pieces), completed=len(pieces) - len(missing)
            )
            run = joblib.Parallel(n_jobs=jobs, return_as="generator_unordered", batch_size=1)
            for _ in run(joblib.delayed(_make)(piece, work, piece.stamp()) for piece in missing):
                progress.advance(task)
    records: list[dict[str, Any]] = []
    for piece in pieces:
        found = kept(piece, work)
        if found is None:
            raise RuntimeError(f"{piece.name}: the code changed during the run; start it again")
        records.extend(found)
    return records


def pieces_of(
    row: str,
    settings: Sequence[Any],
    judge: Callable[[Any, int, tuple[int, ...]], dict[str, Any]],
    *,
    seed: int,
    trials: int,
    sources: Sequence[str],
    size: int = 12,
    label: str = "",
) -> list[Piece]:
    """Cut the settings of a row into pieces of ``size`` settings."""
    numbered = list(enumerate(settings))
    return [
        Piece(
            row=row,
            name=f"{row}{label}_seed{seed}_{trials}_{start // size:03d}",
            seed=seed,
            trials=trials,
            settings=tuple(numbered[start : start + size]),
            judge=judge,
            sources=tuple(sources),
        )
        for start in range(0, len(numbered), size)
    ]
