"""What does a statistician need to judge the page and to make it again?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.models.sampled_belief import SampledBelief
from takestats.pages.again import again_section
from takestats.pages.cells import looks_cells, spread_cells, tails_cells
from takestats.pages.layer_cells import contrasts_cells, layer_spread_cells, units_cells
from takestats.pages.parts import Block, Points, Section, Words
from takestats.pages.rows import slug
from takestats.pages.topics import topic_sections
from takestats.wording.held import strata_name
from takestats.wording.layer_answers import ROWS_LINE, layer_line, units_words
from takestats.wording.said import factor_words, opened
from takestats.wording.statistician import (
    CORRELATION,
    NO_CORRELATION,
    ODDS_NAME,
    P_MEANING,
    QUICK,
    TWO_DIFFERENCES,
    level_line,
    method_text,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from takestats.models.result import TableResult
    from takestats.pages.gathered import Gathered
    from takestats.pages.topic import Topic


def statistician_sections(
    found: Gathered, topics: Mapping[str, Topic], command: Sequence[str]
) -> tuple[Section, ...]:
    """The third part of the page, in order."""
    sections = [
        _tails(found),
        *_contrasts(found),
        _layer(found),
        _spread(found),
        _checks(found),
        *topic_sections(topics, "statistician"),
        _methods(found),
        _notes(found),
        again_section(found, command),
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
    further: list[tuple[str, TableResult | None]] = [
        ("difference inside strata", found.held),
        ("combinations heard together", found.shrunk),
    ]
    if found.story is not None:
        further.append(("difference by season", found.story.held))
        further.append(("next season", found.story.by_combination or found.story.overall))
    for kind, answer in further:
        if answer is not None:
            told += [f"{opened(kind)}: {note}" for note in answer.notes if note not in known]
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


def _contrasts(found: Gathered) -> list[Section]:
    """Two strata, or two seasons, at a time."""
    sections = []
    answers = [("inside", found.held)]
    if found.story is not None:
        answers.append(("seasons", found.story.held))
    for key, held in answers:
        if held is not None:
            name = strata_name(held.within)
            shown = contrasts_cells(
                held,
                caption=f"Differences of {factor_words(held.by)}, two at a time by {name}",
                where=f"{contrasts_name(held.by, held.within)}",
            )
            heading = f"Does the difference hold from {name} to {name}"
            blocks: list[Block] = [shown, Words(text=TWO_DIFFERENCES)]
            sections.append(_section(f"{key}-two", heading, blocks))
    return sections


def contrasts_name(by: str, within: str) -> str:
    """Name the file of the differences of two differences.

    Examples
    --------
    >>> contrasts_name("method", "scion_species")
    'difference_of_differences_by_method_within_scion_species'
    """
    names = (slug(name).replace("-", "_") for name in (by, within))
    return "difference_of_differences_by_{}_within_{}".format(*names)


def _layer(found: Gathered) -> Section | None:
    """Which layer was used, what stands in it, and how much its units differ."""
    layer = found.layer
    if layer is None:
        return None
    spread = layer_spread_cells(layer.spread, caption="Spread of the layer")
    if layer.layer == "rows":
        return _section("layer", "Several rows in one tray", [Words(text=ROWS_LINE), spread])
    units = len(set(found.model.units))
    blocks: list[Block] = [Words(text=layer_line(layer.column, units))]
    if not layer.table.empty:
        caption = f"{opened(units_words(layer.column))} and trays behind each level"
        blocks.append(units_cells(layer, caption=caption))
    blocks += [spread, Points(items=layer.notes)]
    return _section("layer", f"{opened(units_words(layer.column))} above the trays", blocks)


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
        layer="" if found.layer is None else found.layer.column or found.layer.layer,
    )
    return _section("how", "How the numbers were made", [Words(text=text) for text in texts])


def _checks(found: Gathered) -> Section:
    elsewhere = {*found.odd.sentences, *found.confounded.sentences}
    said = [line for line in found.checks.sentences if line not in elsewhere]
    return _section("checks", "Does the model fit", [Points(items=tuple(said))])


def _notes(found: Gathered) -> Section:
    return _section("notes", "Notes of the results", [Points(items=result_notes(found))])


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="statistician", blocks=tuple(blocks))
