"""What does each cell of a column mean, and which cells cannot be read?

Each distinct text of a column is read once, however many rows have it.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from difflib import get_close_matches
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.calipers import read_length
from takestats.records.columns import Column
from takestats.records.dates import EARLIEST, LATEST, looks_turned, read_date
from takestats.records.methods import read_method
from takestats.records.plant_cells import Reading, name_key, read_plant
from takestats.records.problems import FaultLog
from takestats.records.seasons import read_season
from takestats.records.settings import TrialSettings

Values = NDArray[Any]

_WHOLE = re.compile(r"\+?\d+\Z")
_WHOLE_POINT = re.compile(r"(\d+)[.,]0{1,2}\Z")
_FRACTION = re.compile(r"\d*[.,]\d+\Z")
_NEGATIVE = re.compile(r"[-−–]\s*\d+(?:[.,]\d+)?\Z")
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)\Z")
_LENGTHS = re.compile(
    r"[\d./,\s\"]+(?:[a-z]{2,6}\.?\s*)?(?:-|–|—|to)\s*\d[\d./,\s]*\D{0,7}\Z", re.I
)
"""A range such as "6-8 mm" or "1/4 to 3/8 in"."""


Reader = Callable[[Any], Reading]


def convert(
    column: Column,
    raw: Values,
    log: FaultLog,
    settings: TrialSettings,
    units: Values,
    genera: frozenset[str] = frozenset(),
) -> Values:
    """Read one known column; ``units`` holds the unit of the header, row by row.

    Returns floats (blank is NaN) for numbers and lengths, text (blank is None)
    for everything else.
    """
    if column.kind == "text":
        return _convert_text(column, raw, log)
    numeric = column.kind in ("whole", "length")
    blank: object = np.nan if numeric else None
    out = np.full(len(raw), blank, dtype=float if numeric else object)
    by_header = column.kind in ("length", "height", "date")
    distinct_units = dict.fromkeys(units.tolist()) if by_header else {None: None}
    for unit in distinct_units:
        several = len(distinct_units) > 1
        here = np.flatnonzero(units == unit) if several else np.arange(len(raw))
        _convert_block(column, raw, here, _reader(column, settings, unit, genera), log, out)
    return out


def _convert_text(column: Column, raw: Values, log: FaultLog) -> Values:
    """Text is kept as typed; a tray or a class may not be a date."""
    codes, distinct = pd.factorize(raw)
    faults = [_text_fault(column, cell) for cell in distinct]
    values = [None if f else _shown(c) for f, c in zip(faults, distinct, strict=True)]
    for code in dict.fromkeys(f for f in faults if f):
        here = np.array([*[fault == code for fault in faults], False], dtype=bool)
        log.add(code, np.flatnonzero(here[codes] & log.usable()), column.name)
    return np.array([*values, None], dtype=object)[codes]


def _text_fault(column: Column, cell: object) -> str | None:
    if column.name in ("tray", "caliper_class") and looks_turned(cell):
        return "turned_to_date"
    return _sheet_fault(cell)


def _convert_block(
    column: Column, raw: Values, here: NDArray[np.intp], reader: Reader, log: FaultLog, out: Values
) -> None:
    codes, distinct = pd.factorize(raw[here])
    readings = [_of_the_sheet(cell) or reader(cell) for cell in distinct]
    values = np.array([*[r.value for r in readings], None], dtype=object)
    if out.dtype == float:
        numbers = np.array(
            [*[np.nan if r.value is None else r.value for r in readings], np.nan], dtype=float
        )
        out[here] = numbers[codes]
    else:
        out[here] = values[codes]
    usable = log.usable()[here]
    groups: dict[tuple[object, ...], list[int]] = {}
    for i, reading in enumerate(readings):
        if reading.fault or reading.query or reading.why:
            groups.setdefault(_kind_of(reading), []).append(i)
    for members in groups.values():
        of_group = np.zeros(len(readings) + 1, dtype=bool)
        of_group[members] = True
        at = np.flatnonzero(of_group[codes] & usable)
        if len(at):
            _tell(column.name, readings, codes[at], here[at], out, log)


def _kind_of(reading: Reading) -> tuple[object, ...]:
    """Readings that are told with the same words, or once for each text, are told together."""
    words = () if reading.once else tuple(sorted(reading.words.items()))
    return (reading.fault, reading.query, reading.why, reading.once, *words)


def _tell(
    name: str,
    readings: list[Reading],
    codes: NDArray[np.intp],
    rows: NDArray[np.intp],
    out: Values,
    log: FaultLog,
) -> None:
    """Tell readings of one kind; ``codes`` says for each row which reading it has."""
    reading = readings[codes[0]]
    code = reading.fault or reading.query
    if code and reading.once:
        first = ~pd.Series(codes).duplicated().to_numpy()
        said = [readings[i].words for i in codes[first]]
        each = {word: [words[word] for words in said] for word in reading.words}
        log.add(code, rows[first], name, affected=rows, each=each)
    elif code:
        log.add(code, rows, name, words=reading.words)
    if reading.fault:
        log.bad(name)[rows] = True
        out[rows] = np.nan if out.dtype == float else None
    elif reading.why:
        log.change(rows, name, reading.why)


SHEET_ERRORS = frozenset({"#ref!", "#div/0!", "#value!", "#name?", "#num!", "#null!", "#spill!"})
"""What a spreadsheet shows in place of a result; #N/A is read as blank."""


def _sheet_fault(cell: object) -> str | None:
    """A formula without its result, or an error of the spreadsheet."""
    if not isinstance(cell, str) or cell[:1] not in "=#":
        return None
    if cell.lower() in SHEET_ERRORS:
        return "sheet_error"
    return "formula" if cell.startswith("=") and len(cell) > 1 else None


def _of_the_sheet(cell: object) -> Reading | None:
    fault = _sheet_fault(cell)
    return Reading(None, fault=fault) if fault else None


def _shown(cell: object) -> str:
    if isinstance(cell, dt.datetime) and cell.time() == dt.time():
        return cell.date().isoformat()
    return str(cell)


def _reader(
    column: Column, settings: TrialSettings, unit: str | None, genera: frozenset[str]
) -> Reader:
    kind = column.kind
    if kind == "whole":
        return _whole
    if kind == "length":
        meant = unit or settings.records.get("caliper_unit")
        return lambda cell: _length(cell, meant)
    if kind == "height":
        return lambda cell: _height(cell, unit)
    if kind == "date":
        order = unit or settings.records.get("date_order")
        return lambda cell: _date(cell, order)
    if kind == "season":
        return _season
    if kind == "word":
        return lambda cell: _word(cell, column)
    if kind == "method":
        return lambda cell: _method(cell, settings)
    if kind == "plant":
        names = {name_key(short): full for short, full in settings.names.items()}
        return lambda cell: read_plant(_shown(cell), names, list(settings.names), genera)
    return lambda cell: Reading(_shown(cell))


def _whole(cell: Any) -> Reading:
    if looks_turned(cell):
        return Reading(None, fault="turned_to_date")
    text = str(cell)
    if _WHOLE.match(text):
        return Reading(float(text))
    if found := _WHOLE_POINT.match(text):
        return Reading(float(found[1]), why="a whole number")
    if text.endswith("%") or text.lower().endswith("percent"):
        return Reading(None, fault="percent_cell")
    if _FRACTION.match(text):
        return Reading(None, fault="fraction")
    if _NEGATIVE.match(text):
        return Reading(None, fault="negative")
    return Reading(None, fault="text_number")


def _length(cell: Any, unit: str | None) -> Reading:
    if looks_turned(cell):
        return Reading(None, fault="turned_to_date")
    text = str(cell)
    length = read_length(text, unit)
    if length is None and _LENGTHS.match(text):
        return Reading(None, fault="length_range")
    if length is None:
        return Reading(None, fault="not_a_length")
    same = _NUMBER.match(text) and "," not in text and float(text) == length
    return Reading(length, why="" if same else "in mm")


def _height(cell: Any, unit: str | None) -> Reading:
    if looks_turned(cell):
        return Reading(None, fault="turned_to_date")
    text = str(cell)
    word = text.strip().lower()
    if word in ("low", "high"):
        return Reading(word, why="" if word == text else "spelling")
    if word in ("0", "0 mm"):
        return Reading(0.0)
    return _length(cell, unit)


def _date(cell: Any, order: str | None) -> Reading:
    read = read_date(cell, order)
    if read.fault:
        words = {"earliest": str(EARLIEST), "latest": str(LATEST)}
        return Reading(None, fault=read.fault, words=words)
    return Reading(read.text, why="year-month-day" if read.changed else "")


def _season(cell: Any) -> Reading:
    read = read_season(_shown(cell))
    if read is None:
        return Reading(None, fault="bad_season")
    return Reading(read, why="" if read == cell else "spelling")


def _word_key(text: str) -> str:
    return re.sub(r"[\s_\-]+", " ", text.strip().lower())


def _word(cell: Any, column: Column) -> Reading:
    typed = _shown(cell)
    key = _word_key(typed)
    for word, others in column.words.items():
        if key == _word_key(word) or key in others:
            return Reading(word, why="" if word == typed else "spelling")
    known = [_word_key(word) for word in column.words]
    near = get_close_matches(key, known, n=1, cutoff=0.7)
    hint = f' Is it "{near[0]}"?' if near else ""
    words = {"known": ", ".join(column.words), "nearest": hint}
    return Reading(None, fault="not_in_list", words=words)


def _method(cell: Any, settings: TrialSettings) -> Reading:
    typed = _shown(cell)
    read = read_method(typed, settings.methods)
    words = {"word": typed, "choices": " or ".join(read.choices)}
    if read.fault == "own_method":
        return Reading(read.text, query="own_method", once=True, words=words)
    if read.fault:
        return Reading(None, fault=read.fault, once=read.fault == "method_near", words=words)
    return Reading(read.text, why="" if read.text == typed else "word for the graft")
