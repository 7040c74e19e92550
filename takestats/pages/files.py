"""How is a set of files written so that a reader finds all of them or none, old or new?

A set is a page with what stands beside it. Its files are first written whole into a passing
folder. Then the old set goes out, its page first, and the new one comes in, its page last: at
every moment all files of the set that stand in the folder are of one run, and where the page
stands all of it stands. A run that is killed in between leaves the passing folder, and the
next run into the same folder finishes what was begun.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from takestats.errors import FileError
from takestats.pages.no_stop import no_stop_half_way
from takestats.pages.own_files import MANIFEST, OwnFiles, refuse_foreign, refuse_odd_names

PASSING = ".takestats.part"
"""The folder in which a set passes; gone when all is well."""

_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_PLAN = "plan.json"
_NEW, _OLD = "new", "old"


def write_whole(folder: str | os.PathLike[str], files: Mapping[str, bytes]) -> list[Path]:
    """Write a page and what stands beside it into a folder, in place of an earlier set.

    Parameters
    ----------
    folder : path
        Made when it is not there.
    files : mapping of name to bytes
        The page comes first. Names may hold one folder, as ``tables/take_by_method.csv``.

    Returns
    -------
    list of pathlib.Path
        The paths written, in order. Files of the earlier set that the new one does not have
        are gone; no other file of the folder was touched.

    Raises
    ------
    FileError
        When the folder cannot be written, or a file that is not ours stands in the way; the
        folder is then as it was.
    """
    root = Path(folder)
    refuse_odd_names(root, files)
    with no_stop_half_way() as go_on:
        return _write_whole(root, files, go_on)


def _write_whole(root: Path, files: Mapping[str, bytes], go_on: Callable[[], None]) -> list[Path]:
    names = list(files)
    made: list[Path] = []
    try:
        made = make_folder(root)
        finish_what_was_begun(root)
    except OSError as fault:
        _remove_empty(reversed(made))
        raise _cannot_write(root, fault) from fault
    coming = [names[0], MANIFEST, *names[1:]]
    try:
        own = OwnFiles.of(root)
        stale = [name for name in own.names_of(names[0]) if name not in files]
        stale = [name for name in stale if own.holds(root, name)]
        going = [*names, *stale, MANIFEST]  # the list goes last: until then it says what is ours
        refuse_foreign(root, files, own)
        _stage(root, files, own.with_set(files).text())
        go_on()
    except BaseException as fault:
        _take_away(root / PASSING, made)
        if isinstance(fault, OSError):
            raise _cannot_write(root, fault) from fault
        raise
    try:
        _exchange(root, going, coming)
    except BaseException as fault:
        _put_back(root, going, coming)
        _take_away(root / PASSING, made)
        if isinstance(fault, OSError):
            raise _cannot_write(root, fault) from fault
        raise
    _clear(root, going)
    return [root / name for name in names]


def write_one(path: str | os.PathLike[str], content: bytes) -> Path:
    """Write one file whole, over an older one of its name, or not at all.

    Raises
    ------
    FileError
        When it cannot be written; an older one is then as it was.
    """
    target = Path(path)
    passing = target.with_name(f".{target.name}.part")
    made: list[Path] = []
    try:
        made = make_folder(target.parent)
        if target.is_dir():
            raise IsADirectoryError(21, "a folder stands where the file should go", str(target))
        passing.write_bytes(content)
        os.replace(passing, target)
    except BaseException as fault:
        passing.unlink(missing_ok=True)
        _remove_empty(reversed(made))
        if isinstance(fault, OSError):
            raise _cannot_write(target.parent, fault) from fault
        raise
    return target


def finish_what_was_begun(root: Path) -> None:
    """Bring in the set of a run that was killed while it came in; sweep one that had not begun."""
    passing = root / PASSING
    if not passing.is_dir():
        return
    try:
        plan = json.loads((passing / _PLAN).read_text("utf-8"))
        going, coming = list(plan["going"]), list(plan["coming"])
    except (OSError, ValueError, KeyError):
        shutil.rmtree(passing)
        return
    own = OwnFiles.of(root)
    still = [name for name in coming if (passing / _NEW / name).exists()]
    stale = [name for name in going if name not in coming and own.holds(root, name)]
    _exchange(root, [name for name in going if name in still or name in stale], still)
    _clear(root, going)


def _stage(root: Path, files: Mapping[str, bytes], manifest: str) -> None:
    """Write the whole set where it passes."""
    for name, content in {**files, MANIFEST: manifest.encode("utf-8")}.items():
        target = root / PASSING / _NEW / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)


def _exchange(root: Path, going: list[str], coming: list[str]) -> None:
    """Let the old files go, the page first; let the new ones come, the page last."""
    passing = root / PASSING
    begun = passing / f"{_PLAN}.part"
    begun.write_text(json.dumps({"going": going, "coming": coming}), "utf-8")
    os.replace(begun, passing / _PLAN)  # from here on a killed run is finished by the next one
    for name in going:
        if (root / name).is_file():
            _move(root / name, passing / _OLD / name)
    for name in reversed(coming):
        _move(passing / _NEW / name, root / name)


def _put_back(root: Path, going: list[str], coming: list[str]) -> None:
    """Undo an exchange that could not be finished."""
    passing = root / PASSING
    for name in coming:
        if not (passing / _NEW / name).exists() and (root / name).exists():
            _move(root / name, passing / _NEW / name)
    for name in reversed(going):
        if (passing / _OLD / name).exists():
            _move(passing / _OLD / name, root / name)


def _move(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    os.replace(source, target)


def _clear(root: Path, going: Iterable[str]) -> None:
    """Take the passing folder away, and folders that stood for the old set only."""
    (root / PASSING / _PLAN).unlink(missing_ok=True)
    shutil.rmtree(root / PASSING, ignore_errors=True)
    _remove_empty(sorted({(root / name).parent for name in going} - {root}))


def _take_away(passing: Path, made: list[Path]) -> None:
    shutil.rmtree(passing, ignore_errors=True)
    _remove_empty(reversed(made))


def _remove_empty(folders: Iterable[Path]) -> None:
    for place in folders:
        if place.is_dir() and not any(place.iterdir()):
            place.rmdir()


def make_folder(place: Path) -> list[Path]:
    """Make a folder; return those that were not there, the outermost first."""
    missing = []
    at = place
    while not at.exists():
        missing.append(at)
        at = at.parent
    place.mkdir(parents=True, exist_ok=True)
    return list(reversed(missing))


def _cannot_write(root: Path, error: OSError) -> FileError:
    return FileError(
        where=str(error.filename or root),
        what=f"cannot be written: {error.strerror or error}.",
        rule="Files are written whole into a folder that can be written to, or not at all.",
        next_step="Free some space on this disk, or name a folder on another."
        if error.errno in _NO_ROOM
        else "Close the file if a program holds it open, or name another folder.",
    )
