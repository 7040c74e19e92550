"""Which charts of a page stand beside it as files?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.charts.figure_files import caption_strip, png_file, svg_file

if TYPE_CHECKING:
    from takestats.pages.parts import SeasonReport

FOLDER = "figures"


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
    files: dict[str, bytes] = {}
    for picture in report.pictures:
        strip = caption_strip(picture.chart)
        files[f"{FOLDER}/{picture.chart.name}.svg"] = svg_file(picture.chart, picture.svg, strip)
        files[f"{FOLDER}/{picture.chart.name}.png"] = png_file(picture.chart, strip)
    return files
