"""How is a workbook saved so that the same contents give the same bytes?"""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from openpyxl import Workbook

_DAY = dt.datetime(2000, 1, 1)
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
    book.properties.creator = "takestats"
    book.properties.created = _DAY
    written = io.BytesIO()
    book.save(written)
    out = io.BytesIO()
    with (
        zipfile.ZipFile(written) as source,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as target,
    ):
        for entry in source.infolist():
            content = source.read(entry.filename)
            if entry.filename == "docProps/core.xml":
                stamp = _DAY.isoformat().encode() + b"Z"
                content = _STAMP.sub(rb"\g<1>" + stamp + rb"\g<2>", content)
            fixed = zipfile.ZipInfo(entry.filename, date_time=(2000, 1, 1, 0, 0, 0))
            fixed.compress_type = zipfile.ZIP_DEFLATED
            fixed.create_system = 3
            fixed.external_attr = 0o644 << 16
            target.writestr(fixed, content)
    return out.getvalue()
