"""Was each factor of the page given by lot, or only recorded, and what stands with it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.answers.confounding import confounding
from takestats.pages.along import wanted_curves
from takestats.pages.further import further_factors
from takestats.pages.parts import Block, Cells, Words
from takestats.pages.rows import rows_of
from takestats.records.layout_match import drawn_columns
from takestats.wording.along import Scale
from takestats.wording.further import (
    GIVEN_CAPTION,
    GIVEN_HEADER,
    RECORDED,
    by_lot_words,
    given_words,
    others_words,
)
from takestats.wording.said import factor_words

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered

_UNITS = ("tray", "half", "graft")


def drawn_factors(found: Gathered) -> list[str]:
    """The factors that were given by lot, as far as the settings say.

    Those of the bench layout that the rows still match; without a layout those with the
    standard or the new level among theirs, and the main one where the settings name neither.
    """
    if found.asked.randomised not in _UNITS:
        return []
    if found.records.layout == "matches":
        drawn = drawn_columns(found.records.trial)
        pair = ("combination",) if {"scion", "understock"} & set(drawn) else ()
        return [name for name in found.gaps if name in (*drawn, *pair)]
    named = {found.asked.standard, found.asked.new} - {""}
    if not named:
        return list(found.gaps)[:1]
    return [name for name in found.gaps if named & set(found.models[name].levels(name))]


def given_blocks(found: Gathered) -> list[Block]:
    """One sentence and a table: how each factor and curve of the page was given.

    Parameters
    ----------
    found : Gathered

    Returns
    -------
    list of Block
        Empty where the page compares nothing.
    """
    factors = list(dict.fromkeys((*found.rates, *further_factors(found).factors)))
    curves = [name for name in wanted_curves(found).drawn if name not in factors]
    if not factors and not curves:
        return []
    drawn = [name for name in drawn_factors(found) if name in factors]
    lot = by_lot_words(found.asked.randomised)
    rows = []
    for factor in factors:
        how = lot if factor in drawn else RECORDED
        rows.append((factor_words(factor), how, others_words(*_others(found, factor))))
    names = [*factors, *(Scale(over).name for over in curves)]
    rows += [(Scale(over).name, RECORDED, "see its own section") for over in curves]
    recorded = [name for name in names if name not in drawn]
    shown = Cells(
        caption=GIVEN_CAPTION,
        header=GIVEN_HEADER,
        rows=tuple(rows),
        numbers=(False, False, False),
    )
    return [Words(text=given_words(drawn, recorded)), shown]


def _others(found: Gathered, factor: str) -> tuple[list[tuple[str, int]], int]:
    """Columns that levels of a factor stand wholly in, most levels first, and its levels."""
    known = found.confounded if factor in found.rates else confounding(found.whole, [factor])
    levels = int(found.whole.lines[factor].nunique())
    held: dict[str, set[str]] = {}
    for row in rows_of(known.table):
        if row["factor"] == factor:
            held.setdefault(str(row["other"]), set()).add(str(row["level"]))
    counts = [(name, len(inside)) for name, inside in held.items()]
    return sorted(counts, key=lambda pair: -pair[1]), levels
