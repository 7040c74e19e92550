"""Which charts stand on a page and beside it as files, each drawn once?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from takestats.charts.figure_files import caption_strip, png_file, svg_file

if TYPE_CHECKING:
    from takestats.pages.parts import Picture

FOLDER = "figures"


@dataclass(frozen=True, eq=False, kw_only=True)
class Drawing:
    """A chart as it was drawn: for the page, and as files.

    Parameters
    ----------
    sentence, key : str
        Below it on the page.
    svg : str
        Inside the page.
    files : dict of str to bytes
        ``figures/NAME.svg`` and ``figures/NAME.png``.
    """

    sentence: str
    key: str
    svg: str
    files: dict[str, bytes]


def files_of(drawn: Sequence[Drawing]) -> dict[str, bytes]:
    """The files of several drawings, in order."""
    return {name: content for drawing in drawn for name, content in drawing.files.items()}


def drawn(picture: Picture) -> Drawing:
    """Draw a chart once, for the page and for its files."""
    chart, svg = picture.chart, picture.svg
    strip = caption_strip(chart)
    return Drawing(
        sentence=chart.sentence,
        key=chart.key,
        svg=svg,
        files={
            f"{FOLDER}/{chart.name}.svg": svg_file(chart, svg, strip),
            f"{FOLDER}/{chart.name}.png": png_file(chart, strip),
        },
    )
