"""Are the parts that a workbook is packed from safe to unpack and to read?

A workbook is a zip archive of XML (ECMA-376, part 2: only stored or deflated parts, XML in
UTF-8 or UTF-16 and without a document type). What is written otherwise, or unpacks to more than
any season fills, is refused before it is read.
"""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass, field
from xml.parsers import expat

from takestats.errors import FileError
from takestats.records.limits import (
    MOST_PARTS,
    refuse_many_cells,
    refuse_unpacked,
    too_large,
)
from takestats.records.typed_sheet import not_a_table

_XML = (".xml", ".rels")
_SHEET_FILE = re.compile(r"xl/worksheets/[^/]+\.xml\Z", re.IGNORECASE)
_FORMULA_ALONE = re.compile(rb"<f[^<>]*(?:/>|>[^<]*</f>)\s*(?:<v\s*/>|<v>\s*</v>|</c>)")
_ROW = re.compile(rb"<(?:\w+:)?row\b([^<>]*)")
_NUMBER = re.compile(rb'\br="(\d{1,9})"')
_HIDDEN = re.compile(rb'\bhidden="(?:1|true)"')
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\b[^<>]*\bref="([A-Z]{1,3}\d{1,7}:[A-Z]{1,3}\d{1,7})"')
_HIDDEN_COLUMN = re.compile(rb"<(?:\w+:)?col\b([^<>]*)")
_LOCKED = 1  # the flag of a part that needs a password
_TAGS_A_CELL = 4
"""Signs that open a tag, for each cell of a sheet: <c>, <v>, and their ends."""


@dataclass(eq=False)
class SheetMarks:
    """What a sheet says of its rows and cells beside their values."""

    formula_alone: bool = False
    merged: list[str] = field(default_factory=list)
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: bool = False


def looked_at(data: bytes, label: str) -> dict[str, SheetMarks]:
    """Hold the parts of a workbook to the limits; say what its sheets mark, by part.

    Raises
    ------
    FileError
        When the archive is damaged, locked, too large, or written as no spreadsheet writes.
    """
    marks: dict[str, SheetMarks] = {}
    tags = 0
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        _hold_parts_to_limits(packed.infolist(), label)
        for part in packed.infolist():
            if not part.filename.lower().endswith(_XML):
                continue
            text = packed.read(part)
            tags += text.count(b"<")
            refuse_many_cells(tags // _TAGS_A_CELL, label)
            _refuse_odd_xml(text, f"{label}, part {part.filename}")
            if _SHEET_FILE.match(part.filename):
                marks[part.filename] = _marks(text, f"{label}, part {part.filename}")
    return marks


def _hold_parts_to_limits(parts: list[zipfile.ZipInfo], label: str) -> None:
    if len(parts) > MOST_PARTS:
        raise too_large(
            label,
            f"the workbook is packed from {len(parts):,} parts",
            f"A workbook of records has at most {MOST_PARTS:,} parts.",
            "Save the sheet with the records in a workbook of its own.",
        )
    refuse_unpacked(sum(part.file_size for part in parts), label)
    for part in parts:
        if part.flag_bits & _LOCKED:
            raise not_a_table(
                label,
                "the workbook is locked with a password",
                "Save it without a password.",
            )
        if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise not_a_table(label, "the workbook is packed as no spreadsheet packs it")


class _Begun(Exception):
    """The first element: what would have to stand before it does not."""


def _refuse_odd_xml(text: bytes, where: str) -> None:
    """Refuse entities, which can unfold without end or fetch files, and odd encodings."""

    def document_type(*_: object) -> None:
        raise FileError(
            where=where,
            what="it declares a document type, in which entities can hide",
            rule="The parts of a workbook are plain XML; nothing is unfolded or fetched.",
            next_step="Open it in a spreadsheet that you trust and save it as a new .xlsx.",
        )

    def declaration(_version: str, encoding: str | None, _alone: int) -> None:
        if encoding is not None and encoding.lower() not in ("utf-8", "utf-16", "us-ascii"):
            raise not_a_table(where, "its XML is in letters that no workbook uses")

    def begun(*_: object) -> None:
        raise _Begun

    reader = expat.ParserCreate()
    reader.StartDoctypeDeclHandler = document_type
    reader.XmlDeclHandler = declaration
    reader.StartElementHandler = begun
    try:
        reader.Parse(text, True)
    except _Begun:
        return


def _marks(text: bytes, where: str) -> SheetMarks:
    found = SheetMarks(
        formula_alone=_FORMULA_ALONE.search(text) is not None,
        merged=[ref.decode() for ref in _MERGED.findall(text)],
        hidden_columns=any(_HIDDEN.search(column) for column in _HIDDEN_COLUMN.findall(text)),
    )
    last = 0
    for row in _ROW.findall(text):
        number = _NUMBER.search(row)
        at = int(number[1]) if number else last + 1
        if at <= last:
            raise not_a_table(
                where,
                f"its rows do not stand in order (row {at} after row {last})",
                "Open it in a spreadsheet and save it again.",
            )
        last = at
        if _HIDDEN.search(row):
            found.hidden_rows.append(at)
    return found
