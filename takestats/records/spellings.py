"""Is one thing written in two ways, or a blank written as a sign?

Plants whose names differ only in capitals, accents or quotes are one plant, and
are given one spelling. Anything else that looks alike is asked about and kept
apart: two trays may well be called T1 and t1.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.errors import CountsError
from takestats.records.columns import BY_NAME
from takestats.records.plants import plant_name
from takestats.records.problems import FaultLog

Values = NDArray[Any]

_SIGN = re.compile(r"[-–—−?.…_/~*]+\Z")
_SPACE = re.compile(r"(?<!\d)\s+|\s+(?!\d)")
_ASKED = ("text", "method", "plant")


def spelling_key(text: str) -> str:
    """A text without capitals and accents, and without spaces except between figures.

    Examples
    --------
    >>> spelling_key("North  bench") == spelling_key("north bench"), spelling_key("1 2")
    (True, '1 2')
    """
    if text.isascii() and " " not in text:
        return text.casefold()
    bare = "".join(
        sign for sign in unicodedata.normalize("NFKD", text) if not unicodedata.combining(sign)
    )
    return _SPACE.sub("", bare.casefold().replace("’", "'").replace("‘", "'"))


def give_plants_one_spelling(
    values: dict[str, Values],
    names: Mapping[str, str],
    log: FaultLog,
    rows_behind: NDArray[np.int64],
) -> None:
    """Plants that differ only in capitals or accents take the spelling used most.

    The spelling of the settings goes before that of the records. ``rows_behind`` says how
    many rows of the file each row stands for.
    """
    columns = [name for name in ("scion", "understock") if name in values]
    seen: dict[str, int] = {}
    for name in columns:
        codes, distinct = pd.factorize(values[name])
        times = _times(codes, len(distinct), rows_behind)
        for text, number in zip(distinct, times.tolist(), strict=True):
            seen[text] = seen.get(text, 0) + number
    for full in names.values():
        text = _as_plant(full)
        if text is not None:
            seen[text] = int(rows_behind.sum()) + 1
    chosen: dict[str, str] = {}
    for text in sorted(seen, key=lambda t: -seen[t]):
        if _as_plant(text) is not None:
            chosen.setdefault(spelling_key(text), text)
    for name in columns:
        codes, distinct = pd.factorize(values[name])
        better = [chosen.get(spelling_key(text), text) for text in distinct]
        moved = np.array(
            [*[a != b for a, b in zip(better, distinct, strict=True)], False], dtype=bool
        )
        rows = np.flatnonzero(moved[codes])
        if len(rows):
            values[name] = np.array([*better, None], dtype=object)[codes]
            log.change(rows, name, "one spelling for a plant")


def _times(
    codes: NDArray[np.intp], distinct: int, rows_behind: NDArray[np.int64]
) -> NDArray[np.int64]:
    """How many rows of the file have each text."""
    there = codes >= 0
    times = np.bincount(codes[there], weights=rows_behind[there], minlength=distinct)
    return times.astype(np.int64)


def _as_plant(text: str) -> str | None:
    try:
        return str(plant_name(text))
    except CountsError:
        return None


def ask_about_spellings(
    values: Mapping[str, Values],
    unknown: Iterable[str],
    log: FaultLog,
    rows_behind: NDArray[np.int64],
) -> None:
    """Ask about words of one column that differ only in capitals, accents or spaces."""
    known = [name for name in values if name in BY_NAME and BY_NAME[name].kind in _ASKED]
    for name in [*known, *unknown]:
        if name in BY_NAME and BY_NAME[name].role == "note":
            continue
        usable = log.usable(name)
        column = values[name].copy()
        column[~usable] = None
        codes, distinct = pd.factorize(column)
        times = _times(codes, len(distinct), rows_behind)
        first = np.unique(codes[codes >= 0], return_index=True)[1]
        first = np.flatnonzero(codes >= 0)[first]
        signs = [i for i, t in enumerate(distinct) if not t[:1].isalnum() and _SIGN.match(t)]
        log.add("sign_for_blank", first[signs], name)
        rarer, usual = _spelt_otherwise(distinct, times)
        each = {"other": [str(distinct[i]) for i in usual]}
        log.add("two_spellings", first[rarer], name, each=each)


def _spelt_otherwise(distinct: Values, times: NDArray[np.int64]) -> tuple[list[int], list[int]]:
    """Texts that have another spelling which is used more, and that spelling."""
    keys = pd.Series([spelling_key(text) for text in distinct], dtype=object)
    by_key: dict[str, list[int]] = {}
    for i in np.flatnonzero(keys.duplicated(keep=False).to_numpy()).tolist():
        by_key.setdefault(keys[i], []).append(i)
    rarer: list[int] = []
    usual: list[int] = []
    for alike in by_key.values():
        most = max(alike, key=lambda i: (times[i], -i))
        others = [i for i in alike if i != most]
        rarer += others
        usual += [most] * len(others)
    return rarer, usual
