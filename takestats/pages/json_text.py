"""How are answers handed to another program? As one JSON object, nothing rounded."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from pathlib import Path

NO_UPPER = "no upper bound"
NO_LOWER = "no lower bound"


def json_text(content: Mapping[str, object]) -> str:
    """Write one JSON object; a missing value is null, an unbounded limit says so.

    Parameters
    ----------
    content : mapping
        Anything built of tables, sequences, mappings, dates, paths and numbers.

    Returns
    -------
    str
        Valid JSON: never NaN, never Infinity.

    Examples
    --------
    >>> print(json_text({"low": 1.5, "high": float("inf")}))
    {
      "low": 1.5,
      "high": "no upper bound"
    }
    """
    return json.dumps(plain(content), ensure_ascii=False, indent=2, allow_nan=False)


def plain(value: object) -> object:
    """Turn a value into what JSON can hold."""
    if value is None or isinstance(value, str | bool):
        return value
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if hasattr(value, "to_dict") and hasattr(value, "columns"):
        return [plain(row) for row in value.to_dict("records")]
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, list | tuple | set | frozenset):
        return [plain(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if str(value) in {"<NA>", "NaT"}:
        return None
    if isinstance(value, datetime):
        whole_day = (value.hour, value.minute, value.second) == (0, 0, 0)
        return value.date().isoformat() if whole_day else value.isoformat()
    if isinstance(value, date):
        return value.isoformat()
    return _number(value.item() if hasattr(value, "item") else value)


def _number(value: object) -> object:
    if isinstance(value, float):
        if math.isnan(value):
            return None
        if math.isinf(value):
            return NO_UPPER if value > 0 else NO_LOWER
        return value
    if isinstance(value, int | bool):
        return value
    return str(value)
