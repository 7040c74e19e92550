"""How are several files written so that a reader finds all of them or none?"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from takestats.errors import FileError


def write_whole(folder: str | os.PathLike[str], files: Mapping[str, bytes]) -> list[Path]:
    """Write files into a folder: first all under passing names, then all renamed.

    Parameters
    ----------
    folder : path
        Made when it is not there.
    files : mapping of name to bytes
        Names may hold one folder, as ``tables/take_by_method.csv``.

    Returns
    -------
    list of pathlib.Path
        The paths written, in order.

    Raises
    ------
    FileError
        When the folder cannot be written; no file is then left behind.
    """
    root = Path(folder)
    targets = [(root / name, content) for name, content in files.items()]
    passing: list[tuple[Path, Path]] = []
    made: list[Path] = []
    try:
        for place in sorted({root, *(target.parent for target, _ in targets)}):
            made.extend(_make_folder(place))
        for target, content in targets:
            if target.is_dir():
                raise IsADirectoryError(21, "a folder stands where the file should go", str(target))
            passing_name = target.with_name(f".{target.name}.{os.getpid()}.part")
            passing.append((passing_name, target))
            passing_name.write_bytes(content)
        for passing_name, target in passing:
            os.replace(passing_name, target)
    except BaseException as error:
        for passing_name, _ in passing:
            passing_name.unlink(missing_ok=True)
        for place in reversed(made):
            if place.is_dir() and not any(place.iterdir()):
                place.rmdir()
        if isinstance(error, OSError):
            raise _cannot_write(root, error) from error
        raise
    return [target for target, _ in targets]


def _make_folder(place: Path) -> list[Path]:
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
        next_step="Close the file if a program holds it open, or name another folder.",
    )
