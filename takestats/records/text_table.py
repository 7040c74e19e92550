"""What stands in a text table: which letters, which separator, which cells?"""

from __future__ import annotations

import csv
import io
import re
from typing import Any

from takestats.errors import FileError
from takestats.records.headers import ROWS_SEARCHED, find_header
from takestats.records.limits import MOST_CHARACTERS, refuse_many_cells, too_large
from takestats.records.typed_sheet import Sheet, empty, not_a_table

_END = "\x1cthe end of the text\x1c"
"""A row put below the text; it comes back by itself unless a quote is still open."""

_OPEN_QUOTE = "Look for a double quote that is opened and not closed; close it or take it out."
_BINARY = (
    *(
        b"PK\x03\x04",
        b"\xd0\xcf\x11\xe0",
        b"%PDF",
        b"PAR1",
        b"\x89PNG",
        b"\x1f\x8b",
        b"\xff\xd8\xff",
    ),
    *(b"GIF8", b"7z\xbc\xaf", b"Rar!", b"\x7fELF", b"SQLite format 3\x00"),
)


def text_table(data: bytes, label: str) -> tuple[list[Sheet], list[str]]:
    """The cells of a .csv or .tsv file, and how its letters were read."""
    text, notes = _decoded(data, label)
    if not text.strip():
        raise empty(label)
    return [Sheet(label, "", _split(text, label))], notes


def _decoded(data: bytes, label: str) -> tuple[str, list[str]]:
    """The text of the file, and which letters it was saved in."""
    if data.startswith(_BINARY):
        raise not_a_table(label, "the file is not text, whatever its ending says")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _strictly(data, "utf-16", label), [f"{label}: read as UTF-16."]
    if data.startswith(b"\xef\xbb\xbf"):
        return _strictly(data, "utf-8-sig", label), [
            f"{label}: read as UTF-8 with a mark in front."
        ]
    if b"\x00" in data:
        start = data[:4000]
        odd = start[1::2].count(0) > 0.4 * len(start[1::2])
        even = start[0::2].count(0) > 0.4 * len(start[0::2])
        if odd == even:
            raise not_a_table(label, "the file is not text")
        name = "utf-16-le" if odd else "utf-16-be"
        return _strictly(data, name, label), [f"{label}: read as UTF-16."]
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        return (
            _strictly(data, "cp1252", label),
            [f"{label}: read as Windows-1252; check the accents and signs in the names."],
        )


def _strictly(data: bytes, encoding: str, label: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as fault:
        raise FileError(
            where=f"{label}, byte {fault.start + 1}",
            what="letters that cannot be read",
            rule="Text is read as UTF-8, UTF-16 or Windows-1252.",
            next_step="Save the file again as UTF-8.",
        ) from fault


def _split(text: str, label: str) -> list[list[Any]]:
    """Cut the text at the separator that makes most headers known."""
    # A space before a quote belongs to the separator; any other is told when it is taken off.
    loose = re.search(r"[,;\t] +\"", text) is not None
    best = separator_of(top_of(text), loose=loose)
    refuse_many_cells(text.count(best) + text.count("\n") + text.count("\r"), label)
    read: list[list[Any]] = []
    try:
        whole = io.StringIO(f"{text.removesuffix(chr(10))}\n{_END}")
        for row in csv.reader(whole, delimiter=best, skipinitialspace=loose):
            read.append(row)
    except csv.Error as fault:
        if "field limit" in str(fault):
            raise too_large(
                f"{label}, row {len(read) + 1}",
                "one cell that goes on and on",
                f"A cell has at most {MOST_CHARACTERS:,} characters, as in a spreadsheet.",
                _OPEN_QUOTE,
            ) from fault
        raise not_a_table(label, f"the text cannot be cut into cells ({fault})") from fault
    if read[-1] != [_END]:
        raise FileError(
            where=f"{label}, row {len(read)}",
            what="a cell that goes on to the end of the file",
            rule="A cell that begins with a double quote ends with one.",
            next_step=_OPEN_QUOTE,
        )
    return read[:-1]


def top_of(text: str) -> str:
    """The rows that the separator is told by."""
    return "".join(text.splitlines(keepends=True)[: ROWS_SEARCHED + 10])


def separator_of(top: str, *, loose: bool) -> str:
    """The separator that makes most headers known, then the one that makes most cells."""
    best, best_score = ",", (-1, -1)
    for separator in (",", ";", "\t"):
        try:
            rows = list(csv.reader(io.StringIO(top), delimiter=separator, skipinitialspace=loose))
        except csv.Error:
            continue
        found = find_header(rows)
        known = sum(h.known for h in found[1]) if found else 0
        width = max((len(row) for row in rows), default=0)
        if (known, width) > best_score:
            best, best_score = separator, (known, width)
    return best
