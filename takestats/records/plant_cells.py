"""Is a cell a plant name, a short name of the nursery's own, or neither?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

import pandas as pd
from numpy.typing import NDArray

from takestats.errors import CountsError
from takestats.records.plants import plant_name

Values = NDArray[Any]


@dataclass(frozen=True)
class Reading:
    """One distinct cell: its value, why it was changed, or its fault."""

    value: object
    why: str = ""
    fault: str | None = None
    query: str | None = None
    once: bool = False
    words: dict[str, str] = field(default_factory=dict)


def name_key(text: str) -> str:
    """A short name without capitals, extra spaces and curly quotes."""
    return " ".join(text.lower().replace("’", "'").replace("‘", "'").split())


def read_plant(
    typed: str, names: dict[str, str], shorts: list[str], genera: frozenset[str]
) -> Reading:
    """A short name from the settings, else a plant name, else a name nobody knows."""
    key = name_key(typed)
    if key in names:
        try:
            return Reading(str(plant_name(names[key])), why="short name")
        except CountsError:
            return Reading(names[key], why="short name")
    near = get_close_matches(key, list(names), n=1, cutoff=0.75)
    plant = _surely_a_plant(typed, genera, guarded=bool(near))
    if plant is not None:
        return Reading(plant, why="" if plant == typed else "plant name")
    words = {"word": typed, "known": ", ".join(shorts), "nearest": ""}
    if not names:
        return Reading(typed, query="short_name", once=True, words=words)
    if near:
        words["nearest"] = f' Is it "{shorts[list(names).index(near[0])]}"?'
    return Reading(None, fault="unknown_name", once=True, words=words)


def _surely_a_plant(text: str, genera: frozenset[str], *, guarded: bool) -> str | None:
    """The plant name in one form; None when the text may as well be a short name.

    Two words without a capital, or one word alone, are a plant only when their
    genus is known from elsewhere; so is a text much like a known short name.
    """
    try:
        plant = plant_name(text)
    except CountsError:
        return None
    alone = len(text.split()) == 1
    capital = text.lstrip("×+xX ")[:1].isupper()
    if plant.genus in genera or (capital and not alone and not guarded):
        return str(plant)
    return None


def known_genera(columns: list[Values], names: Mapping[str, str]) -> frozenset[str]:
    """Genera that stand with a capital and more words somewhere in the file or settings."""
    texts: set[str] = set(names.values())
    for column in columns:
        texts.update(c for c in pd.unique(column) if isinstance(c, str))
    out: set[str] = set()
    for text in texts:
        try:
            plant = plant_name(text)
        except CountsError:
            continue
        told = plant.cultivar or plant.species_hybrid or plant.species_unknown or plant.rank
        if text[:1].isupper() and (told or text in names.values()):
            out.add(plant.genus)
    return frozenset(out)
