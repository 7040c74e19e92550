"""What is a page made of, before it is written?"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.charts.chart import Chart


@dataclass(frozen=True, kw_only=True)
class Words:
    """A paragraph.

    Parameters
    ----------
    text : str
        Plain text, never markup.
    kind : str
        For the page's template.
    """

    text: str
    kind: Literal["words"] = "words"


@dataclass(frozen=True, kw_only=True)
class Points:
    """A list of short sentences.

    Parameters
    ----------
    items : tuple of str
        Plain text.
    kind : str
        For the page's template.
    """

    items: tuple[str, ...]
    kind: Literal["points"] = "points"


@dataclass(frozen=True, kw_only=True)
class Cells:
    """A table as shown: every cell is text already rounded by the wording room.

    Parameters
    ----------
    caption : str
        What it shows.
    header : tuple of str
        One word or two per column.
    rows : tuple of tuple of str
        Cells as text; the first cell names the row.
    numbers : tuple of bool
        Which columns are numbers (set to the right).
    after : str
        Set below the table; blank for nothing.
    kind : str
        For the page's template.
    """

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[bool, ...]
    after: str = ""
    kind: Literal["cells"] = "cells"


@dataclass(frozen=True, eq=False, kw_only=True)
class Picture:
    """A chart that is drawn when the page is written, not before.

    Parameters
    ----------
    draw : callable
        Gives the chart.
    kind : str
        For the page's template.
    """

    draw: Callable[[], Chart]
    kind: Literal["picture"] = "picture"

    @cached_property
    def chart(self) -> Chart:
        """The chart, drawn once however often it is asked for."""
        return self.draw()

    @cached_property
    def svg(self) -> str:
        """The drawing as it stands inside a page."""
        from takestats.charts.svg import chart_svg

        return chart_svg(self.chart)


Block = Words | Points | Cells | Picture


@dataclass(frozen=True, eq=False, kw_only=True)
class Section:
    """A heading with what stands under it.

    Parameters
    ----------
    key : str
        Letters and hyphens; the address inside the page.
    heading : str
        As shown.
    part : str
        "bench", "season" or "statistician".
    blocks : tuple
        Words, Points, Cells and Pictures in order.
    """

    key: str
    heading: str
    part: Literal["bench", "season", "statistician"]
    blocks: tuple[Block, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """Its paragraphs and the points of its lists, in order; no tables, no charts."""
        said: list[str] = []
        for block in self.blocks:
            said += [block.text] if isinstance(block, Words) else []
            said += block.items if isinstance(block, Points) else ()
        return tuple(said)


SEASON_PARTS = (
    ("bench", "For the bench"),
    ("season", "The season in detail"),
    ("statistician", "For the statistician"),
)
"""The parts of a season's page with their headings, in order."""


def pictures_of(sections: Iterable[Section]) -> tuple[Picture, ...]:
    """The charts of several sections, in order."""
    every = (block for section in sections for block in section.blocks)
    return tuple(block for block in every if isinstance(block, Picture))


@dataclass(frozen=True, eq=False, kw_only=True)
class SeasonReport:
    """A page computed and not yet written: words, sections and tables.

    Parameters
    ----------
    page_name : str
        Name of the page's file, without its ending.
    title : str
        The page's heading.
    banner : str
        The INVENTED DATA or citation line; blank for a nursery's own records.
    sentences : tuple of str
        What the page says for the bench, in order.
    sections : tuple of Section
        The page in order.
    tables : dict of str to pandas.DataFrame
        Full precision; the names are those of the CSV files.
    table_notes : dict of str to str
        What each table holds, out of what and counted when.
    notes : tuple of str
        Notes of the results behind the page.
    parts : tuple of (str, str)
        The parts of the page and their headings, in order.
    """

    page_name: str
    title: str
    banner: str
    sentences: tuple[str, ...]
    sections: tuple[Section, ...]
    tables: dict[str, DataFrame]
    table_notes: dict[str, str]
    notes: tuple[str, ...]
    parts: tuple[tuple[str, str], ...] = SEASON_PARTS

    @property
    def pictures(self) -> tuple[Picture, ...]:
        """The charts of the page, in order."""
        return pictures_of(self.sections)

    def in_words(self) -> str:
        """The sentences for the bench, one after another."""
        return " ".join(self.sentences)
