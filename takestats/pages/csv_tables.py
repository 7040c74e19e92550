"""How is a table handed on as CSV, safe to open in a spreadsheet?"""

from __future__ import annotations

import csv
import io
import math
import re
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

_STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_AFTER_SEPARATOR = re.compile(r"([;\t])(?=\s*[=+\-@＝＋－＠])")
"""Where a spreadsheet that parts cells at another sign would see a formula begin."""

APOSTROPHE_NOTE = (
    "Text that a spreadsheet could take for a formula carries a leading apostrophe here."
)


def csv_bytes(table: DataFrame, note: str) -> bytes:
    """Write a table as CSV with one note line above the header.

    Parameters
    ----------
    table : pandas.DataFrame
        Numbers are written at full precision, missing ones as blank cells.
    note : str
        What the table holds, with the INVENTED DATA or citation line.

    Returns
    -------
    bytes
        UTF-8 with byte order mark, so that spreadsheets read hybrid names rightly. Text
        cells that begin like a formula get an apostrophe, and the note says so.
    """
    rows = [[_cell(value) for value in row] for row in table.itertuples(index=False, name=None)]
    guarded = any(changed for row in rows for _, changed in row)
    header = [_cell(str(name)) for name in table.columns]
    guarded = guarded or any(changed for _, changed in header)
    line = f"# {note}" + (f" {APOSTROPHE_NOTE}" if guarded else "")
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow([" ".join(line.split())])
    writer.writerow([text for text, _ in header])
    writer.writerows([[text for text, _ in row] for row in rows])
    return buffer.getvalue().encode("utf-8-sig")


def _cell(value: object) -> tuple[str, bool]:
    """Give a cell's text and whether an apostrophe was set before it."""
    if value is None or str(value) in {"<NA>", "NaT"}:
        return "", False
    item = value.item() if hasattr(value, "item") else value
    if isinstance(item, bool):
        return ("yes" if item else "no"), False
    if isinstance(item, float):
        if math.isnan(item):
            return "", False
        if math.isinf(item):
            return ("no upper bound" if item > 0 else "no lower bound"), False
        return repr(item), False
    if isinstance(item, int):
        return str(item), False
    if isinstance(item, datetime):
        midnight = (item.hour, item.minute, item.second) == (0, 0, 0)
        return (item.date().isoformat() if midnight else item.isoformat()), False
    if isinstance(item, date):
        return item.isoformat(), False
    text = str(item)
    safe = _AFTER_SEPARATOR.sub(r"\1'", text)
    if text.startswith(_STARTS_FORMULA) or text.lstrip().startswith(_STARTS_FORMULA):
        safe = f"'{safe}"
    return safe, safe != text
