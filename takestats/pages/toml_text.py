"""How are settings written as TOML, so that any reader gets back what was meant?"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SHORT = {
    "\\": "\\\\",
    '"': '\\"',
    "\b": "\\b",
    "\t": "\\t",
    "\n": "\\n",
    "\f": "\\f",
    "\r": "\\r",
}


def toml_text(settings: Mapping[str, object], comments: Sequence[str] = ()) -> str:
    """Write settings as TOML: plain keys first, then a table for each section.

    Parameters
    ----------
    settings : mapping
        Text, numbers, true and false, dates, lists and mappings. What is None is left out.
    comments : sequence of str
        Lines at the head of the file.

    Returns
    -------
    str
        The same text for the same settings, in their order.

    Raises
    ------
    TypeError
        For a value that TOML does not know.

    Examples
    --------
    >>> print(toml_text({"title": "A", "trial": {"floor": 0.7}}, ["Set beforehand."]), end="")
    # Set beforehand.
    title = "A"
    <BLANKLINE>
    [trial]
    floor = 0.7
    """
    lines = [f"# {_one_line(comment)}".rstrip() for comment in comments]
    lines += [
        f"{_key(key)} = {_value(value)}"
        for key, value in settings.items()
        if value is not None and not isinstance(value, Mapping)
    ]
    for key, value in settings.items():
        if not isinstance(value, Mapping):
            continue
        if lines:
            lines.append("")
        lines.append(f"[{_key(key)}]")
        lines += [
            f"{_key(name)} = {_value(item)}" for name, item in value.items() if item is not None
        ]
    return "\n".join(lines) + "\n"


def _one_line(text: str) -> str:
    """A comment as one line, without what a comment may not hold."""
    kept = (letter if letter.isprintable() else " " for letter in text)
    return " ".join("".join(kept).split())


def _key(key: object) -> str:
    text = str(key)
    return text if _BARE.fullmatch(text) else _quoted(text)


def _quoted(text: str) -> str:
    return f'"{"".join(_letter(letter) for letter in text)}"'


def _letter(letter: str) -> str:
    if letter in _SHORT:
        return _SHORT[letter]
    code = ord(letter)
    if 0xD800 <= code <= 0xDFFF:
        return "\\uFFFD"  # half a letter: no file can hold it
    return f"\\u{code:04X}" if code < 0x20 or code == 0x7F else letter


def _value(value: object) -> str:
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        if math.isnan(value):
            return "nan"
        return repr(value) if math.isfinite(value) else ("inf" if value > 0 else "-inf")
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        inside = [f"{_key(k)} = {_value(v)}" for k, v in value.items() if v is not None]
        return f"{{ {', '.join(inside)} }}" if inside else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(item) for item in value if item is not None)}]"
    raise TypeError(f"{type(value).__name__} has no form in TOML")
