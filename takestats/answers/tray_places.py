"""Where did each tray stand, and what took there?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.wording import tray_map as words

if TYPE_CHECKING:
    from takestats.answers.odd_trays import OddTrays
    from takestats.models.take_model import TakeModel

PLACE_COLUMNS = ("bench", "position")
_LETTER_NUMBER = re.compile(r"(?:([A-Za-z])[ \-]?)?0*([0-9]{1,3})")


class Place(NamedTuple):
    """A place on a bench: a row's letter, blank without rows, and a number along it."""

    row: str
    number: int


@dataclass(frozen=True, eq=False, kw_only=True)
class TrayPlaces(TableResult):
    """Every tray of a fit where it stood."""


def tray_places(model: TakeModel, odd: OddTrays) -> TrayPlaces:
    """Where did each tray stand, and what took there?

    Parameters
    ----------
    model : TakeModel
    odd : OddTrays
        Of the same model: the trays to be marked.

    Returns
    -------
    TrayPlaces
        One row per tray, bench by bench in order: bench, position (as recorded), row and
        place (read from it, blank where it could not be, or where two trays claim one place),
        tray_id, taken, tried, raw_rate, side ("low" or "high" for a tray far from its group,
        else blank). No row where trays, benches and positions are not recorded.

    Notes
    -----
    A position is read when it is plainly a number (7) or a letter and a number (A3, b 12);
    anything else ("2-4", "by the door") is kept as text and never guessed.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.odd_trays import odd_trays
    >>> bench = pd.DataFrame({
    ...     "season": "2026", "tray": list("XYZ"), "bench": "south",
    ...     "position": ["B2", "A1", "by the door"], "grafted": 40, "taken": [37, 38, 20]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), [])
    >>> tray_places(model, odd_trays(model)).table[["tray_id", "row", "place"]].values.tolist()
    [['Y', 'A', 1], ['X', 'B', 2], ['Z', '', <NA>]]
    """
    lines = model.lines
    columns = ["bench", "position", "row", "place", "tray_id", "taken", "tried", "raw_rate", "side"]
    named = [name for name in PLACE_COLUMNS if name in lines and lines[name].notna().any()]
    if not named or not model.trays_recorded:
        return TrayPlaces(
            _table=DataFrame(columns=columns), notes=model.notes, sentences=(words.NO_PLACES,)
        )
    rows = _trays(lines, named, odd)
    kinds = {True: 0, False: 0}
    for row in rows:
        kinds[row["place"] is not None] += 1
    rows.sort(key=_order)
    table = DataFrame(rows, columns=columns).astype({"place": "Int64"})
    benches = len({row["bench"] for row in rows if row["bench"]})
    return TrayPlaces(
        _table=table,
        notes=(words.PLACES_NOTE, *model.notes),
        sentences=(words.places_line(len(rows), benches, kinds[True], "position" in named),),
    )


def read_place(position: str) -> Place | None:
    """Read a place from what was written, or leave it.

    Examples
    --------
    >>> read_place("A3"), read_place(" 07 "), read_place("2-4"), read_place("row 2 place 5")
    (Place(row='A', number=3), Place(row='', number=7), None, None)
    """
    text = position.strip()
    if found := _LETTER_NUMBER.fullmatch(text):
        place = Place((found.group(1) or "").upper(), int(found.group(2)))
        return place if place.number > 0 else None
    return None


def _trays(lines: DataFrame, named: list[str], odd: OddTrays) -> list[dict[str, Any]]:
    """A row per tray: the rows of one tray are added, its first place is its place."""
    sides = {str(row["tray_id"]): str(row["side"]) for row in odd.table.to_dict("records")}
    sums = lines.groupby("tray_id", sort=False)[["taken", "tried"]].sum()
    first = lines.drop_duplicates("tray_id").set_index("tray_id")
    rows: list[dict[str, Any]] = []
    claimed: dict[tuple[str, Place], int] = {}
    for tray, taken, tried in zip(sums.index, sums["taken"], sums["tried"], strict=True):
        told = {
            name: _text(first.at[tray, name]) if name in named else "" for name in PLACE_COLUMNS
        }
        place = read_place(told["position"])
        if place is not None:
            key = (told["bench"], place)
            claimed[key] = claimed.get(key, 0) + 1
        rows.append(
            {
                **told,
                "row": "" if place is None else place.row,
                "place": None if place is None else place.number,
                "tray_id": str(tray),
                "taken": float(taken),
                "tried": float(tried),
                "raw_rate": float(taken) / float(tried) if tried > 0 else float("nan"),
                "side": sides.get(str(tray), ""),
            }
        )
    for row in rows:
        place = read_place(row["position"])
        if place is not None and claimed[(row["bench"], place)] > 1:
            row["row"], row["place"] = "", None
    return rows


def _order(row: dict[str, Any]) -> tuple[object, ...]:
    return (
        row["bench"] == "",
        natural(row["bench"]),
        row["place"] is None,
        row["row"],
        row["place"] or 0,
        natural(row["tray_id"]),
    )


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """Sort numbers inside names by size: T9 before T10.

    Examples
    --------
    >>> sorted(["T10", "T9", "T1a"], key=natural)
    ['T1a', 'T9', 'T10']
    """
    parts = re.findall(r"[0-9]+|[^0-9]+", text.lower())
    return tuple(
        (
            part.isascii() and part.isdigit(),
            int(part) if part.isascii() and part.isdigit() else 0,
            part,
        )
        for part in parts
    )


def _text(value: object) -> str:
    if value is None or value != value:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    text = str(value)
    return "" if text in {"<NA>", "nan"} else text
