"""Is a size class one of the grower's own, and does the caliper fit it?"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.records.calipers import read_length, unit_word
from takestats.records.problems import FaultLog, plain

Values = NDArray[Any]

MATCH_KEY = "match_within"
"""The one key among the classes that is not a class."""

_TO = re.compile(r"\s+(?:to|up to)\s+|\s*[–—]\s*|\s+-\s+|(?<=\d)-(?=\d)")
_UNIT = re.compile(r"[A-Za-z\"'”″]+\.?\Z")


def class_bounds(classes: Mapping[str, Any], unit: str | None = None) -> dict[str, Any]:
    """Bounds in mm of the classes that have two; a class is never given a midpoint.

    A unit behind the second bound holds for both.

    Examples
    --------
    >>> class_bounds({"thin": "6 to 8 mm", "stout": "0.25 to 0.5 in", "odd": "pencil"})
    {'thin': (6.0, 8.0), 'stout': (6.35, 12.7)}
    """
    bounds: dict[str, Any] = {}
    for name, given in classes.items():
        parts = given if isinstance(given, list | tuple) else _TO.split(str(given).strip())
        if name == MATCH_KEY or len(parts) != 2:
            continue
        written = _UNIT.search(str(parts[1]).strip())
        meant = (unit_word(written[0]) if written else None) or unit
        low, high = (_bound(str(part), meant) for part in parts)
        if low is not None and high is not None and low < high:
            bounds[name] = (low, high)
    return bounds


def _bound(text: str, unit: str | None) -> float | None:
    return 0.0 if text.strip() == "0" else read_length(text, unit)


def class_of(mm: float, bounds: Mapping[str, tuple[float, float]]) -> str | None:
    """The class that a caliper falls into; the upper bound belongs to the next class."""
    return next((name for name, (low, high) in bounds.items() if low <= mm < high), None)


def settle_classes(
    values: dict[str, Values], classes: Mapping[str, Any], unit: str | None, log: FaultLog
) -> None:
    """Give each class the spelling of the settings; ask about one that is not there."""
    column = values.get("caliper_class")
    named = {_key(name): name for name in classes if name != MATCH_KEY}
    if column is None or not named:
        return
    codes, distinct = pd.factorize(column)
    meant = [named.get(_key(str(text)), text) for text in distinct]
    usable = log.usable("caliper_class")
    for i, text in enumerate(distinct):
        rows = np.flatnonzero((codes == i) & usable)
        if _key(str(text)) not in named:
            words = {"known": ", ".join(named.values())}
            log.add("unknown_class", rows[:1], "caliper_class", words=words)
        elif meant[i] != text:
            log.change(rows, "caliper_class", "spelling")
    values["caliper_class"] = np.array([*meant, None], dtype=object)[codes]
    _hold_against_calipers(values, class_bounds(classes, unit), log)


def _hold_against_calipers(
    values: Mapping[str, Values], bounds: Mapping[str, tuple[float, float]], log: FaultLog
) -> None:
    calipers = values.get("understock_caliper_mm")
    if calipers is None:
        return
    usable = log.usable("caliper_class", "understock_caliper_mm")
    for name, (low, high) in bounds.items():
        out = (values["caliper_class"] == name) & ((calipers < low) | (calipers > high))
        rows = np.flatnonzero(out & usable)
        words = {"low": plain(low), "high": plain(high)}
        each = {"mm": calipers[rows]}
        log.add("class_against_caliper", rows, "caliper_class", words=words, each=each)


def _key(text: str) -> str:
    return " ".join(text.lower().split())
