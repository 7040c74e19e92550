"""Which charts stand on a page and beside it as files, each drawn once?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from takestats.charts.figure_files import caption_strip, png_file, svg_file
from takestats.models.side_by_side import beside

if TYPE_CHECKING:
    from takestats.pages.parts import Picture, SeasonReport

FOLDER = "figures"
FEW = 4


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


def drawings(pictures: Sequence[Picture]) -> list[Drawing]:
    """Draw every chart once, half of them on the other core.

    Parameters
    ----------
    pictures : sequence of Picture

    Returns
    -------
    list of Drawing
        In the order of the pictures.
    """
    if len(pictures) < FEW:
        return [_drawing(picture) for picture in pictures]
    waiting = beside(lambda: [_drawing(picture) for picture in pictures[1::2]])
    found = [_drawing(picture) for picture in pictures[::2]]
    for place, drawing in enumerate(waiting()):
        found.insert(2 * place + 1, drawing)
    return found


def figure_files(report: SeasonReport) -> dict[str, bytes]:
    """Every chart of the page as SVG and as PNG, from the drawing that stands on the page.

    Parameters
    ----------
    report : SeasonReport

    Returns
    -------
    dict of str to bytes
        ``figures/NAME.svg`` and ``figures/NAME.png``, in the order of the page.
    """
    return files_of(drawings(report.pictures))


def files_of(drawn: Sequence[Drawing]) -> dict[str, bytes]:
    """The files of several drawings, in order."""
    return {name: content for drawing in drawn for name, content in drawing.files.items()}


def _drawing(picture: Picture) -> Drawing:
    chart = picture.chart
    strip = caption_strip(chart)
    return Drawing(
        sentence=chart.sentence,
        key=chart.key,
        svg=picture.svg,
        files={
            f"{FOLDER}/{chart.name}.svg": svg_file(chart, picture.svg, strip),
            f"{FOLDER}/{chart.name}.png": png_file(chart, strip),
        },
    )
