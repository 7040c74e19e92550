"""How is a workbook saved so that the same contents give the same bytes?"""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from openpyxl import Workbook

DAY = dt.date(2000, 1, 1)
"""Stands for every date of making: a workbook does not tell when it was written."""

_STAMP = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*(</dcterms:)")


def workbook_bytes(book: Workbook) -> bytes:
    """Save a workbook with fixed times inside.

    Parameters
    ----------
    book : openpyxl.Workbook

    Returns
    -------
    bytes
        An .xlsx file.
    """
    midnight = dt.datetime.combine(DAY, dt.time())
    book.properties.creator = "takestats"
    book.properties.created = midnight
    written = io.BytesIO()
    book.save(written)
    parts = {}
    with zipfile.ZipFile(written) as source:
        for entry in source.infolist():
            content = source.read(entry.filename)
            if entry.filename == "docProps/core.xml":
                stamp = midnight.isoformat().encode() + b"Z"
                content = _STAMP.sub(rb"\g<1>" + stamp + rb"\g<2>", content)
            parts[entry.filename] = content
    return zipped(parts, DAY)


def zipped(parts: Mapping[str, bytes], day: dt.date, *, level: int = 6) -> bytes:
    """Pack the parts of a file under one fixed day.

    Parameters
    ----------
    parts : mapping of name to bytes
        In the order in which they are packed.
    day : datetime.date
        Stands as the time of every part.
    level : int
        How hard it is packed, 1 to 9: less is faster.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=level) as target:
        for name, content in parts.items():
            fixed = zipfile.ZipInfo(name, date_time=(day.year, day.month, day.day, 0, 0, 0))
            fixed.compress_type = zipfile.ZIP_DEFLATED
            fixed.create_system = 3
            fixed.external_attr = 0o644 << 16
            target.writestr(fixed, content)
    return out.getvalue()
