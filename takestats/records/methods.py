"""Which graft is meant by the word that was written?"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

METHODS: dict[str, tuple[str, ...]] = {
    "whip-and-tongue": (
        "w&t",
        "w/t",
        "w+t",
        "w and t",
        "whip and tongue",
        "whip & tongue",
        "whip tongue",
        "bench",
        "english",
        "tongued whip",
    ),
    "splice": ("plain whip", "simple whip", "splice whip"),
    "cleft": ("top cleft", "split", "v", "tool cut cleft", "tool cleft"),
    "wedge": ("top wedge", "apical cleft", "apical wedge", "softwood", "epicotyl"),
    "side veneer": ("sv", "spliced side", "veneer side"),
    "side": ("side wedge", "short tongue"),
    "side cleft": ("lateral wedge", "side tongue", "lateral cleft"),
    "saddle": (),
    "bark": ("rind", "crown", "inlay bark", "bark inlay", "slot"),
    "four-flap": ("4 flap", "banana", "flap"),
    "three-flap": ("3 flap",),
    "chip bud": ("chip",),
    "T-bud": ("t", "shield", "shield bud"),
    "patch bud": ("patch", "plate bud"),
    "flute bud": ("flute",),
    "ring bud": ("ring", "annular bud"),
    "approach": ("inarch", "ablactation"),
    "nurse": ("nurse root", "root", "own root"),
}
"""Grafts by the word used here, and how else they are written."""

AMBIGUOUS: dict[str, tuple[str, ...]] = {
    "whip": ("splice", "whip-and-tongue"),
    "tongue": ("whip-and-tongue", "side cleft"),
    "side": ("side veneer", "side wedge", "side cleft"),
    "veneer": ("side veneer", "side wedge"),
    "": ("chip bud", "T-bud", "cleft", "side veneer"),
    "bud": ("chip bud", "T-bud", "patch bud"),
}
"""Words that mean different grafts in different nurseries: asked about, never guessed."""

_DROP = re.compile(r"\b(?:graft(?:ing|ed|s)?|budding|budded)\b")
_JOIN = re.compile(r"[\s\-_./]+")


@dataclass(frozen=True)
class MethodReading:
    """The word for the graft, or the fault with the words to choose from."""

    text: str | None
    fault: str | None = None
    choices: tuple[str, ...] = ()


def method_key(text: str) -> str:
    """The word without "graft", "grafting", "budding", hyphens, spaces and capitals."""
    return _JOIN.sub("", _DROP.sub("", text.lower().replace("_", " ")))


_KNOWN: dict[str, str] = {}
for _word, _others in METHODS.items():
    for _form in (_word, *_others):
        _KNOWN.setdefault(method_key(_form), _word)
for _key in AMBIGUOUS:
    _KNOWN.pop(_key, None)


def read_method(text: str, own: Mapping[str, str]) -> MethodReading:
    """Read one word; ``own`` are the nursery's own words from the settings."""
    typed = text.strip()
    mine = {method_key(word): meaning for word, meaning in own.items()}
    mine |= {
        method_key(meaning): meaning for meaning in own.values() if method_key(meaning) not in mine
    }
    key = method_key(typed)
    if key in mine:
        return MethodReading(mine[key])
    if key in _KNOWN:
        return MethodReading(_KNOWN[key])
    if key in AMBIGUOUS:
        return MethodReading(None, "ambiguous_method", AMBIGUOUS[key])
    near = get_close_matches(key, [*mine, *_KNOWN], n=1, cutoff=0.8)
    if near and len(key) > 3:
        return MethodReading(None, "method_near", ((mine | _KNOWN)[near[0]],))
    return MethodReading(" ".join(typed.split()), "own_method")
