"""Which files of a folder did this program write, and which are the grower's own?

Beside a page stands a hidden list of the files that were written with it, each with its
fingerprint. A file that is not in the list, or that was changed since, is the grower's: it is
neither written over nor removed.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from takestats.errors import FileError

MANIFEST = ".takestats_files.json"

_PLAIN_NAME = re.compile(r"[a-z0-9_][a-z0-9_.-]{0,199}\Z")
_OUR_PAGE = b"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
"""Stands in the head of every page of this program."""


@dataclass(frozen=True, eq=False)
class OwnFiles:
    """The files that were written into a folder: for each page the names, with fingerprints."""

    sets: Mapping[str, Mapping[str, str]]

    @classmethod
    def of(cls, root: Path) -> OwnFiles:
        """What the list of a folder says; nothing where there is none, or none that is ours."""
        try:
            told = json.loads((root / MANIFEST).read_text("utf-8"))["files"]
            sets = {
                str(page): {
                    str(name): str(mark) for name, mark in names.items() if is_plain(str(name))
                }
                for page, names in told.items()
            }
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return cls({})
        return cls(sets)

    def names_of(self, page: str) -> list[str]:
        """What was written with a page the last time."""
        return list(self.sets.get(page, ()))

    def holds(self, root: Path, name: str) -> bool:
        """Whether a file stands there as it was written."""
        marks = {names[name] for names in self.sets.values() if name in names}
        path = root / name
        return path.is_file() and not path.is_symlink() and _mark(path.read_bytes()) in marks

    def with_set(self, files: Mapping[str, bytes]) -> OwnFiles:
        """The list once these files are written, the page first; another set loses the shared."""
        others = {
            page: {name: mark for name, mark in names.items() if name not in files}
            for page, names in self.sets.items()
        }
        page = next(iter(files))
        others.pop(page, None)
        new = {name: _mark(content) for name, content in files.items()}
        return OwnFiles({**{p: names for p, names in others.items() if names}, page: new})

    def text(self) -> str:
        """The list as it is kept."""
        about = "Files that takestats wrote here; it replaces and removes no others."
        kept = {page: dict(sorted(names.items())) for page, names in sorted(self.sets.items())}
        return json.dumps({"about": about, "files": kept}, indent=1) + "\n"


def refuse_foreign(root: Path, files: Mapping[str, bytes], own: OwnFiles) -> None:
    """Stop where a file that is not ours stands in the way.

    Files of a folder that has no list yet count as ours where its page is one of ours.
    """
    page = next(iter(files))
    all_ours = not own.sets and _is_our_page(root / page)
    for name, content in files.items():
        path = root / name
        if not os.path.lexists(path):
            continue
        if path.is_dir():
            raise IsADirectoryError(21, "a folder stands where the file should go", str(path))
        if path.is_file() and not path.is_symlink():
            same = path.stat().st_size == len(content) and path.read_bytes() == content
            if same or all_ours or own.holds(root, name) or _is_our_page(path):
                continue
        listed = any(name in names for names in own.sets.values())
        raise FileError(
            where=str(path),
            what="this file was changed since it was written"
            if listed
            else "a file of this name is there, and takestats did not write it",
            rule="A file of yours is never written over.",
            next_step="Move it or give it another name, or name another folder with --out.",
        )


def refuse_odd_names(root: Path, names: Iterable[str]) -> None:
    """Stop a name that could lead out of the folder, or that some system keeps for itself."""
    for name in names:
        if not is_plain(name):
            raise FileError(
                where=str(root),
                what=f'"{name[:60]}" cannot be the name of a file',
                rule="Files are named in plain letters, digits, points and hyphens.",
                next_step="Give the column or the level that it is named after a shorter name.",
            )


def is_plain(name: str) -> bool:
    """Whether a name is one file, in the folder or in one folder below it.

    Examples
    --------
    >>> is_plain("tables/trays.csv"), is_plain("../trays.csv"), is_plain("nul.txt")
    (True, False, False)
    """
    parts = name.split("/")
    return len(parts) <= 2 and all(
        _PLAIN_NAME.match(part) is not None and part.split(".")[0] not in _KEPT_BY_SYSTEMS
        for part in parts
    )


_KEPT_BY_SYSTEMS = {"con", "prn", "aux", "nul"} | {
    f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)
}
"""Names that one widespread system keeps for devices."""


def _is_our_page(path: Path) -> bool:
    if path.suffix != ".html" or not path.is_file() or path.is_symlink():
        return False
    with path.open("rb") as file:
        return _OUR_PAGE in file.read(600)


def _mark(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
