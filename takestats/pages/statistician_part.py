"""What does a statistician need to judge the page and to make it again?"""

from __future__ import annotations

import platform
from importlib.metadata import version
from typing import TYPE_CHECKING

from takestats._version import __version__
from takestats.models.sampled_belief import SampledBelief
from takestats.pages.cells import looks_cells, spread_cells, tails_cells
from takestats.pages.parts import Block, Cells, Points, Section, Words
from takestats.pages.rows import cell_text
from takestats.wording.numbers import column_words
from takestats.wording.said import factor_words, opened
from takestats.wording.statistician import (
    CORRELATION,
    NO_CORRELATION,
    ODDS_NAME,
    P_MEANING,
    QUICK,
    level_line,
    method_text,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from takestats.models.result import TableResult
    from takestats.pages.gathered import Gathered

_LIBRARIES = ("numpy", "pandas", "scipy", "matplotlib")


def statistician_sections(found: Gathered) -> tuple[Section, ...]:
    """The third part of the page, in order."""
    sections = [
        _tails(found),
        _spread(found),
        _checks(found),
        _methods(found),
        _notes(found),
        _again(found),
    ]
    return tuple(section for section in sections if section is not None)


def result_notes(found: Gathered) -> tuple[str, ...]:
    """The notes of every result behind the page, each once, with what it belongs to.

    Parameters
    ----------
    found : Gathered

    Returns
    -------
    tuple of str
        First those of the model, which hold for all; then those of each answer alone.
    """
    told = list(dict.fromkeys(found.model.notes))
    known = set(told)
    kinds: tuple[tuple[str, Mapping[str, TableResult]], ...] = (
        ("take", found.rates),
        ("difference", found.gaps),
        ("odds ratio", found.odds),
        ("earlier seasons", found.history),
    )
    for kind, results in kinds:
        by_note: dict[str, list[str]] = {}
        for factor, result in results.items():
            for note in result.notes:
                if note not in known:
                    by_note.setdefault(note, []).append(factor_words(factor))
        told += [
            f"{opened(kind)} by {', by '.join(names)}: {note}" for note, names in by_note.items()
        ]
    told.extend(note for note in found.odd.notes if note not in known)
    return tuple(dict.fromkeys(told))


def _tails(found: Gathered) -> Section | None:
    if not found.gaps:
        return None
    blocks: list[Block] = [
        Words(text=level_line()),
        Words(text=ODDS_NAME),
        tails_cells(found.gaps, found.odds, caption="Pairs of levels"),
        Words(text=P_MEANING),
        Words(text=QUICK),
    ]
    if found.looks is not None:
        blocks.append(Words(text=found.looks.notes[0]))
        blocks.append(looks_cells(found.looks, caption="Second looks at the first difference"))
    return _section("odds-and-tails", "Odds ratios, tail areas and a second look", blocks)


def _spread(found: Gathered) -> Section:
    heading = "How much trays differ"
    table = found.model.tray_variation.table
    if found.records.no_trays or table.empty:
        return _section("tray-spread", heading, [Words(text=NO_CORRELATION)])
    shown = spread_cells(table, caption="Intra-tray correlation", after=CORRELATION)
    return _section("tray-spread", heading, [shown])


def _methods(found: Gathered) -> Section:
    texts = method_text(
        by_draws=isinstance(found.model.belief, SampledBelief),
        trays_recorded=found.model.trays_recorded,
    )
    return _section("how", "How the numbers were made", [Words(text=text) for text in texts])


def _checks(found: Gathered) -> Section:
    elsewhere = {*found.odd.sentences, *found.confounded.sentences}
    said = [line for line in found.checks.sentences if line not in elsewhere]
    return _section("checks", "Does the model fit", [Points(items=tuple(said))])


def _notes(found: Gathered) -> Section:
    return _section("notes", "Notes of the results", [Points(items=result_notes(found))])


def _again(found: Gathered) -> Section:
    rows: list[tuple[str, str]] = [
        ("takestats", __version__),
        ("Python", platform.python_version()),
        *((name, version(name)) for name in _LIBRARIES),
        *((f"input {name}", f"sha256 {digest}") for name, digest in found.records.sources),
        ("season analysed", found.season or "not recorded"),
        ("count chosen", found.model.count or "not recorded"),
        ("take is a share of", found.asked.out_of.replace("_", " ")),
        ("factors", ", ".join(column_words(name) for name in found.chosen.factors) or "none"),
        ("engine", found.model.engine.replace("_", " ")),
        ("seed", str(found.model.seed)),
        *found.settings,
    ]
    table = Cells(
        caption="Versions, inputs and settings",
        header=("what", "value"),
        rows=tuple((name, cell_text(value)) for name, value in rows),
        numbers=(False, False),
    )
    return _section("again", "To make this page again", [table])


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="statistician", blocks=tuple(blocks))
