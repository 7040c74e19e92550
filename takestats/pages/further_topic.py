"""What of the factors that the page's model does not hold: height, seal, match, relation, hands?"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

from takestats.answers.gaps import differences
from takestats.answers.grafter_spread import grafter_spread
from takestats.answers.model_layer import model_layer
from takestats.answers.rates import take_rates
from takestats.errors import DesignError
from takestats.pages.bench_differences import MOST_PAIRS
from takestats.pages.cells import gaps_cells, rates_cells
from takestats.pages.further import further_factors, further_models, grafter_model
from takestats.pages.gather import MOST_LEVELS_IN_PAIRS
from takestats.pages.given import drawn_factors
from takestats.pages.parts import Block, Points, Section, Words
from takestats.pages.rows import differences_of, rows_of, slug
from takestats.pages.topic import Topic
from takestats.wording.compared import averaged_words, difference_line
from takestats.wording.further import (
    GRAFTERS_HEADING,
    NOT_COMPARED_HEADING,
    beside_words,
    recorded_words,
)
from takestats.wording.grafters import ADJUSTED, NO_RANK, two_grafters_words
from takestats.wording.layer_answers import whole_units_line
from takestats.wording.said import dates_words, factor_words, opened
from takestats.wording.sections import counted_line, takes_caption

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.gaps import Differences
    from takestats.models.take_model import TakeModel
    from takestats.pages.gathered import Gathered

Say = Callable[[str], None]
_Table = tuple[str, str, "DataFrame"]


def further_topic(found: Gathered, marker: str, say: Say) -> Topic | None:
    """Takes and differences of recorded factors that the page does not compare yet.

    Parameters
    ----------
    found : Gathered
    marker : str
        Not used: there are no charts here.
    say : callable
        Told what is being done.

    Returns
    -------
    Topic or None
        None where there is no such factor, and no second grafter.
    """
    del marker
    wanted = further_factors(found)
    if wanted.factors:
        say(f"fitting {', '.join(factor_words(name) for name in wanted.factors)}")
    fits = further_models(found, wanted.factors)
    sections: list[Section] = []
    tables: list[_Table] = []
    notes: list[str] = []
    bench: list[str] = []
    lacking = [*wanted.said, *fits.said]
    for factor, model in fits.models.items():
        try:
            section, named, line, told = _factor(found, factor, model)
        except DesignError as error:
            lacking.append(f"{opened(factor_words(factor))}: {error.what}.")
            continue
        sections.append(section)
        tables += named
        bench += line
        notes += [f"Further, by {factor_words(factor)}: {note}" for note in told]
    hands = _grafters(found, say)
    if hands is not None:
        sections.append(hands[0])
        tables += hands[1]
        notes += hands[2]
    if not sections:
        return None
    if lacking:
        block = Points(items=tuple(lacking))
        sections.append(_section("further-not-compared", NOT_COMPARED_HEADING, [block]))
    return Topic(
        sections=tuple(sections),
        tables=tuple(tables),
        notes=tuple(dict.fromkeys(notes)),
        bench=tuple(bench),
    )


def _factor(
    found: Gathered, factor: str, model: TakeModel
) -> tuple[Section, list[_Table], list[str], list[str]]:
    """The section of one factor, its tables, its sentence for the bench, and its notes.

    The bench sheet has room for a difference that is clear of zero only.
    """
    rates = take_rates(model, factor)
    few = len(rates.table) <= MOST_LEVELS_IN_PAIRS
    pairs: Literal["all", "reference"] = "all" if few else "reference"
    gaps = differences(model, factor, pairs=pairs)
    others = [name for name in model.factors if name != factor]
    lines = _lines(gaps, factor, averaged_words(others))
    layer = model.grouping or ""
    said = [beside_words(factor, others, layer, trays_recorded=model.trays_recorded)]
    if factor not in drawn_factors(found):
        said.append(recorded_words(factor))
    caption = f"Differences between levels of {factor_words(factor)}"
    blocks: list[Block] = [
        Points(items=tuple(lines[:MOST_PAIRS])),
        Words(text=counted_line(model.count or "", dates_words(model.count_dates))),
        rates_cells(rates, factor, caption=takes_caption(factor, others, found.season)),
        gaps_cells(gaps, factor, caption=caption),
        Points(items=(*said, *_units(model, factor))),
    ]
    name = slug(factor).replace("-", "_")
    tables: list[_Table] = [
        (f"further_take_by_{name}", f"take by {factor}", rates.table),
        (f"further_difference_by_{name}", f"differences by {factor}", gaps.table),
    ]
    section = _section(f"further-{slug(factor)}", f"By {factor_words(factor)}", blocks)
    known = set(found.model.notes)
    told = [note for note in dict.fromkeys((*rates.notes, *gaps.notes)) if note not in known]
    clear = (gaps.table["low"] > 0.0) | (gaps.table["high"] < 0.0)
    bench = [line for line, told_apart in zip(lines, clear, strict=True) if told_apart][:1]
    return section, tables, bench, told


def _lines(gaps: Differences, factor: str, over: str) -> list[str]:
    return [difference_line(gap, over) for gap in differences_of(gaps, factor)]


def _units(model: TakeModel, factor: str) -> list[str]:
    """Whether the factor was given to whole units of the layer."""
    layer = model_layer(model)
    if layer is None or layer.table.empty:
        return []
    mine = layer.table[(layer.table["factor"] == factor) & layer.table["whole"].astype(bool)]
    if mine.empty:
        return []
    counts = [(str(row["level"]), int(row["units"])) for row in rows_of(mine)]
    return [whole_units_line(factor, counts, layer.column)]


def _grafters(found: Gathered, say: Say) -> tuple[Section, list[_Table], list[str]] | None:
    """The main difference with grafters as blocks, and one sentence of their spread."""
    model = grafter_model(found)
    if model is None:
        return None
    if isinstance(model, str):
        return _section("grafters", GRAFTERS_HEADING, [Points(items=(model, NO_RANK))]), [], []
    say("grafters as blocks")
    blocks: list[Block] = []
    tables: list[_Table] = []
    notes: list[str] = []
    if model.grouping == "grafter":
        spread = grafter_spread(model)
        blocks.append(Words(text=f"{spread.sentences[0]} {NO_RANK}"))
        tables.append(("spread_between_grafters", "spread between grafters", spread.table))
        notes += [f"Grafters: {note}" for note in spread.notes]
    else:
        number = model.lines["grafter"].nunique()
        blocks.append(Words(text=f"{two_grafters_words(number)} {NO_RANK}"))
    main = found.main
    if main and main in model.factors and main in found.gaps:
        pairs = [(row["level_a"], row["level_b"]) for row in rows_of(found.gaps[main].table)]
        gaps = differences(model, main, pairs=pairs)
        blocks.append(Words(text=ADJUSTED))
        over = averaged_words([name for name in model.factors if name != main])
        blocks.append(Points(items=tuple(_lines(gaps, main, over)[:MOST_PAIRS])))
        caption = f"Differences between levels of {factor_words(main)}, grafters as blocks"
        blocks.append(gaps_cells(gaps, main, caption=caption))
        what = f"differences by {main}, grafters as blocks"
        name = slug(main).replace("-", "_")
        tables.append((f"difference_by_{name}_grafters_as_blocks", what, gaps.table))
        counted = counted_line(model.count or "", dates_words(model.count_dates))
        blocks.append(Words(text=counted))
    return _section("grafters", GRAFTERS_HEADING, blocks), tables, notes


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="season", blocks=tuple(blocks))
