"""When one cell names scion and understock, which is which?"""

from __future__ import annotations

import re

import numpy as np
import pandas as pd

from takestats.errors import CountsError
from takestats.records.plants import plant_name
from takestats.records.problems import FaultLog
from takestats.records.sheets import TypedTable

_ON = re.compile(r"\s+on\s+|\s*/\s*", re.IGNORECASE)
_QUOTED = re.compile(r"'[^']*'|‘[^’]*’|\"[^\"]*\"|“[^”]*”")


def split_pair(text: str) -> tuple[str, str] | None:
    """``A on B`` or ``A / B`` as (scion, understock), or None; quoted words are left whole.

    Examples
    --------
    >>> split_pair("Hamamelis mollis on Hamamelis virginiana")
    ('Hamamelis mollis', 'Hamamelis virginiana')
    """
    hidden = _QUOTED.sub(lambda found: "\0" * len(found[0]), text)
    places = list(_ON.finditer(hidden))
    if len(places) != 1 or places[0].start() == 0 or places[0].end() == len(text):
        return None
    return text[: places[0].start()].strip(), text[places[0].end() :].strip()


def split_pairs(table: TypedTable, log: FaultLog) -> None:
    """Split such cells of the scion column, the scion named first."""
    scion = table.cells.get("scion")
    if scion is None:
        return
    codes, distinct = pd.factorize(scion)
    for i, cell in enumerate(distinct):
        pair = split_pair(cell) if isinstance(cell, str) else None
        if pair is None:
            continue
        rows = np.flatnonzero((codes == i) & log.usable())
        if "understock" not in table.cells:
            table.cells["understock"] = np.full(len(scion), None, dtype=object)
            table.units["understock"] = np.full(len(scion), None, dtype=object)
        stock = table.cells["understock"]
        clash = np.array([s is not None and not _same(s, pair[1]) for s in stock[rows]], dtype=bool)
        log.add("two_understocks", rows[clash], "understock")
        log.change(rows, "scion", "scion named first")
        fresh = rows[~clash]
        log.change(fresh, "understock", "named after the scion")
        table.cells["scion"][rows] = pair[0]
        stock[fresh] = pair[1]
        log.typed.setdefault("understock", stock.copy())[fresh] = pair[1]


def _same(a: object, b: str) -> bool:
    try:
        return plant_name(str(a)) == plant_name(b)
    except CountsError:
        return str(a).strip().lower() == b.strip().lower()
