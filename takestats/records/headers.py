"""Which row is the header, and which column does each header mean?"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from takestats.records.calipers import unit_word
from takestats.records.columns import BY_NAME, COLUMNS
from takestats.records.limits import MOST_HEADER

ROWS_SEARCHED = 10
"""The header is looked for in the first ten rows."""

_BRACKET = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_SPACE = re.compile(r"[\s_\-./:;,#*?]+")
_PERCENT_WORDS = {"%", "percent", "percentage", "pct", "per cent", "rate"}
_TAKE_WORDS = {"take", "taken", "success", "alive", "survival", "took"}


@dataclass(frozen=True)
class Header:
    """One header cell: what was typed, the column it means, and its unit."""

    typed: str
    name: str
    known: bool
    unit: str | None = None
    percent: bool = False


_CALIPER = re.compile(r"\b(?:calliper|caliber|calibre)(s?)\b")
_ORDERS = {"day first": re.compile(r"d+\W*m+\W*y+\Z"), "month first": re.compile(r"m+\W*d+\W*y+\Z")}
UNCLEAR = {"date": ("graft date", "count date"), "dates": ("graft date", "count date")}
"""Headers that may mean one column or another: asked about, and kept as they are."""


def header_key(text: str) -> str:
    """A header without capitals, spacing, points and bracketed unit."""
    key = _SPACE.sub(" ", _BRACKET.sub(" ", text).lower()).strip()
    return _CALIPER.sub(r"caliper\1", key)


_BY_KEY: dict[str, str] = {}
for _column in COLUMNS:
    _BY_KEY[header_key(_column.name)] = _column.name
for _column in COLUMNS:
    for _other in _column.synonyms:
        _BY_KEY.setdefault(header_key(_other), _column.name)
_COMBINED = {
    "combination",
    "graft combination",
    *(f"scion {on}{below}" for on in ("", "on ") for below in ("understock", "stock", "rootstock")),
}


def read_header(text: str) -> Header:
    """What one header means; an unknown one keeps the name that was typed."""
    typed = " ".join(text.split())
    if len(typed) > MOST_HEADER:
        return Header(typed, typed, known=False)
    key = header_key(typed)
    bracket = _BRACKET.search(typed)
    unit = unit_word(bracket.group(1)) if bracket else None
    in_bracket = bracket.group(1).strip().lower() if bracket else ""
    if _is_percent(key, in_bracket):
        return Header(typed, typed, known=False, percent=True)
    if key in _COMBINED:
        return Header(typed, "scion", known=True)
    if key in _BY_KEY:
        name = _BY_KEY[key]
        last = key.rsplit(" ", 1)[-1]
        if BY_NAME[name].kind == "date":
            return Header(typed, name, known=True, unit=_date_order(in_bracket))
        return Header(typed, name, known=True, unit=unit or _unit_at_end(name, last))
    shorter, _, last = key.rpartition(" ")
    if shorter in _BY_KEY and unit_word(last):
        return Header(typed, _BY_KEY[shorter], known=True, unit=unit_word(last))
    return Header(typed, typed, known=False)


def _date_order(in_bracket: str) -> str | None:
    """The order of day and month that a header such as "count date (dd/mm/yyyy)" tells."""
    return next((order for order, form in _ORDERS.items() if form.match(in_bracket)), None)


def _unit_at_end(name: str, last: str) -> str | None:
    return unit_word(last) if name.endswith("_mm") else None


def _is_percent(key: str, in_bracket: str) -> bool:
    words = set(key.replace("%", " % ").split())
    marked = bool(words & _PERCENT_WORDS) or in_bracket in _PERCENT_WORDS
    return marked and bool(words & _TAKE_WORDS)


def find_header(rows: Sequence[Sequence[object]]) -> tuple[int, list[Header]] | None:
    """The row with most known headers among the first ten, or None.

    At least two headers must be known; of two rows that tie, the first is taken.
    """
    best: tuple[int, list[Header]] | None = None
    most = 1
    for index, row in enumerate(rows[:ROWS_SEARCHED]):
        headers = [read_header("" if cell is None else str(cell)) for cell in row]
        known = len({h.name for h in headers if h.known}) + sum(h.percent for h in headers)
        if known > most:
            best, most = (index, headers), known
    return best
