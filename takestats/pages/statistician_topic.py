"""Which coefficients does the model have, and what do the words of the page mean?"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from takestats.pages.parts import Block, Cells, Section, Words
from takestats.pages.rows import number, rows_of
from takestats.pages.topic import Topic
from takestats.wording.glossary import (
    COEFFICIENTS_CAPTION,
    COEFFICIENTS_HEADER,
    COEFFICIENTS_HEADING,
    COEFFICIENTS_TABLE,
    GLOSSARY,
    GLOSSARY_CAPTION,
    GLOSSARY_HEADER,
    GLOSSARY_HEADING,
)
from takestats.wording.models import log_odds_words
from takestats.wording.numbers import column_words, level_text

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.pages.gathered import Gathered


def statistician_topic(found: Gathered, marker: str, say: Callable[[str], None]) -> Topic:
    """The coefficients of the model of the page, and the glossary.

    Parameters
    ----------
    found : Gathered
    marker : str
        Not used: there is no chart.
    say : callable
        Told what is being done.
    """
    del marker
    say("coefficients of the model")
    found_coefficients = found.model.coefficients
    table = found_coefficients.table
    sections = [_section("glossary", GLOSSARY_HEADING, [_glossary()])]
    if table.empty:
        return Topic(sections=tuple(sections))
    blocks: list[Block] = [Words(text=found_coefficients.notes[0]), _coefficients(table)]
    sections.insert(0, _section("coefficients", COEFFICIENTS_HEADING, blocks))
    return Topic(sections=tuple(sections), tables=(("coefficients", COEFFICIENTS_TABLE, table),))


def _coefficients(table: DataFrame) -> Cells:
    return Cells(
        caption=COEFFICIENTS_CAPTION,
        header=COEFFICIENTS_HEADER,
        rows=tuple(
            (
                column_words(str(row["factor"])),
                level_text(row["level"]),
                level_text(row["against"]),
                log_odds_words(number(row["log_odds"]), number(row["low"]), number(row["high"])),
            )
            for row in rows_of(table)
        ),
        numbers=(False, False, False, True),
    )


def _glossary() -> Cells:
    return Cells(
        caption=GLOSSARY_CAPTION,
        header=GLOSSARY_HEADER,
        rows=GLOSSARY,
        numbers=(False, False),
    )


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="statistician", blocks=tuple(blocks))
