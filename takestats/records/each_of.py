"""Is a setting one number for all, or one for each plant or combination?

One number, or a table of names and numbers; in the sheet ``trial`` the same as text::

    80%
    virginiana 80%, hornbeam 70%
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any, Literal

from takestats.records.shares import typed_number

Kind = Literal["shares", "wholes", "numbers", "unions"]

EVERY = ""
"""The name under which a number for all stands."""

UNIONS = ("low", "high")

_PARTS = re.compile(r";\s*|,\s+")
_LAST = re.compile(r"(?P<name>.*?\S)\s*[\s=:]\s*(?P<value>-?[\d.,]+\s*(?:%|per ?cent)?|[A-Za-z]+)")


class EachFault(Exception):
    """A value that cannot be used: which rule it breaks and what to do now."""

    def __init__(self, rule: str, next_step: str) -> None:
        self.rule, self.next_step = rule, next_step
        super().__init__(rule)


def each_of(key: str, value: Any, kind: Kind) -> dict[str, Any]:
    """Read a setting that is one value for all or one for each name.

    Parameters
    ----------
    key : str
        Name of the setting, for its faults.
    value : number, str or mapping
    kind : {"shares", "wholes", "numbers", "unions"}
        Shares are 0 to 1; numbers are above 0; unions are "low" or "high" for each name.

    Returns
    -------
    dict of str to float, int or str
        One value for all stands under the blank name.

    Raises
    ------
    EachFault

    Examples
    --------
    >>> each_of("usable_share", "virginiana 80%, hornbeam 0.7", "shares")
    {'virginiana': 0.8, 'hornbeam': 0.7}
    >>> each_of("pieces_a_stick", 4, "numbers")
    {'': 4.0}
    """
    if isinstance(value, Mapping):
        pairs = {str(name).strip(): given for name, given in value.items()}
    elif isinstance(value, str) and math.isnan(typed_number(value).number):
        pairs = _of_text(key, value, kind)
    else:
        pairs = {EVERY: value}
    if not pairs or (kind == "unions" and EVERY in pairs):
        raise EachFault(*_rule(key, kind))
    return {name: _one(key, given, kind) for name, given in pairs.items()}


def each_text(each: Mapping[str, Any]) -> str:
    """Write such a setting as one line of text that is read back as it was.

    Examples
    --------
    >>> each_text({"virginiana": 0.8, "hornbeam": 0.7}), each_text({"": 4.0})
    ('virginiana 0.8, hornbeam 0.7', '4.0')
    """
    return ", ".join(f"{name} {value}".strip() for name, value in each.items())


def _of_text(key: str, text: str, kind: Kind) -> dict[str, Any]:
    pairs: dict[str, Any] = {}
    for part in (part.strip() for part in _PARTS.split(text) if part.strip()):
        found = _LAST.fullmatch(part)
        if found is None:
            raise EachFault(*_rule(key, kind))
        name = found["name"].strip()
        if name in pairs:
            raise EachFault(f'A name stands once in "{key}".', f'Keep one value for "{name}".')
        pairs[name] = found["value"]
    return pairs


def _one(key: str, given: Any, kind: Kind) -> Any:
    if kind == "unions":
        word = str(given).strip().lower()
        if word not in UNIONS:
            raise EachFault(*_rule(key, kind))
        return word
    number, unit = typed_number(given)
    if kind == "shares":
        share = number / 100.0 if unit == "percent" else number
        if not 0.0 <= share <= 1.0:
            raise EachFault(
                f'"{key}" is a share: 0.85 or "85%", for all or for each name.',
                f'Is it "{str(given).strip()}%"? Then write it with the sign.'
                if number > 1.0
                else f'Write {key} = "85%".',
            )
        return share
    if math.isnan(number) or unit != "bare" or number < 0.0 or (kind == "numbers" and not number):
        raise EachFault(*_rule(key, kind))
    if kind == "wholes":
        if not number.is_integer():
            raise EachFault(*_rule(key, kind))
        return int(number)
    return number


def _rule(key: str, kind: Kind) -> tuple[str, str]:
    if kind == "unions":
        return (
            f'"{key}" says for each caliper class whether its union is low or high.',
            f'Write {key} = "thin low, stout high".',
        )
    if kind == "shares":
        return (
            f'"{key}" is a share: 0.85 or "85%", for all or for each name.',
            f'Write {key} = "85%", or {key} = "virginiana 80%, hornbeam 70%".',
        )
    what = "a whole number" if kind == "wholes" else "a number above 0"
    return (
        f'"{key}" is {what}, for all or for each name.',
        f'Write {key} = 4, or {key} = "moth 4, wren 3".',
    )
