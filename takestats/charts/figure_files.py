"""How does a chart leave the page as a picture, its words and its INVENTED DATA with it?

The chart is not drawn again: the drawing that stands on the page gets a strip with its
sentence below it, in the SVG as a second drawing, in the PNG as further rows of dots.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np

from takestats.charts.lettering import inches, letter_safely
from takestats.charts.style import INK, LINE, MARGIN, WIDTH, blank_figure, house_style
from takestats.charts.svg import inner_svg, svg_head
from takestats.wording.numbers import plain

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from takestats.charts.chart import Chart

DOTS = 150
"""Of a PNG, an inch."""
_SIZE = 8.0
_PACKED = 3  # no larger than packed harder, which takes up to half as long again
_LINE = 0.155
_ROOM = WIDTH - 4 * MARGIN


def caption_strip(chart: Chart) -> Figure:
    """Draw what stands below a chart: its sentence and how it is read."""
    from takestats.charts.short_text import ShortText

    said = caption_lines(chart.sentence)
    key = caption_lines(chart.key)
    high = _LINE * (len(said) + len(key)) + 2 * MARGIN
    with house_style():
        figure = blank_figure(high)
        y = high - MARGIN
        for lines, ink in ((said, INK), (key, LINE)):
            for line in lines:
                y -= _LINE
                place = (2 * MARGIN / WIDTH, y / high)
                figure.add_artist(ShortText(*place, line, fontsize=_SIZE, color=ink))
    return figure


def caption_lines(text: str) -> list[str]:
    """Cut a caption into lines that fit the width of a chart.

    Examples
    --------
    >>> caption_lines("INVENTED DATA. Take by method.")
    ['INVENTED DATA. Take by method.']
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if inches(longer, _SIZE) <= _ROOM:
            line = longer
            continue
        if line:
            lines.append(line)
        while inches(word, _SIZE) > _ROOM:
            fit = next(n for n in range(len(word), 0, -1) if inches(word[:n], _SIZE) <= _ROOM)
            lines.append(word[:fit])
            word = word[fit:]
        line = word
    return [*lines, line] if line else lines


def svg_file(chart: Chart, page_svg: str, strip: Figure) -> bytes:
    """Write a chart as an SVG file of its own.

    Parameters
    ----------
    chart : Chart
    page_svg : str
        As it stands on the page, from :func:`takestats.charts.svg.chart_svg`.
    strip : matplotlib.figure.Figure
        From :func:`caption_strip`.

    Returns
    -------
    bytes
        UTF-8; letters are outlines, the words stand in title and description.
    """
    wide, high = (float(inch) * 72.0 for inch in chart.figure.get_size_inches())
    inside = page_svg[page_svg.index("</desc>") + len("</desc>") :].removesuffix("</svg>")
    below, (strip_wide, strip_high) = inner_svg(strip, f"{chart.name}-caption")
    size = (max(wide, strip_wide), high + strip_high)
    described = f"{chart.sentence} {chart.key} {chart.spoken}"
    text = (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{svg_head(chart, size, described, alone=True)}'
        f"{_placed(inside, 0.0, wide, high)}{_placed(below, high, strip_wide, strip_high)}</svg>\n"
    )
    return text.encode("utf-8")


def png_file(chart: Chart, strip: Figure) -> bytes:
    """Write a chart as a PNG file, 150 dots an inch, without date or program name.

    Parameters
    ----------
    chart : Chart
    strip : matplotlib.figure.Figure
        From :func:`caption_strip`.

    Returns
    -------
    bytes
        Its sentence stands below the drawing and in the file's description.
    """
    from PIL.Image import fromarray
    from PIL.PngImagePlugin import PngInfo

    parts = [_dots(chart.figure), _dots(strip)]
    wide = max(part.shape[1] for part in parts)
    whole = np.full((sum(part.shape[0] for part in parts), wide, 3), 255, dtype=np.uint8)
    top = 0
    for part in parts:
        whole[top : top + part.shape[0], : part.shape[1]] = part
        top += part.shape[0]
    buffer = io.BytesIO()
    told = PngInfo()
    told.add_text("Title", chart.title)
    told.add_text("Description", chart.sentence)
    # Not by the drawing library's own way out: it adds a layer of see-through that nothing uses.
    fromarray(whole).save(buffer, "png", dpi=(DOTS, DOTS), pnginfo=told, compress_level=_PACKED)
    return buffer.getvalue()


def _placed(inside: str, top: float, wide: float, high: float) -> str:
    return (
        f'<svg y="{plain(top)}" width="{plain(wide)}" height="{plain(high)}" '
        f'viewBox="0 0 {plain(wide)} {plain(high)}">{inside}</svg>'
    )


def _dots(figure: Figure) -> NDArray[np.uint8]:
    """Draw a figure into dots, red, green and blue."""
    from matplotlib import rc_context
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    letter_safely(figure)
    before = figure.dpi
    canvas: Any = FigureCanvasAgg(figure)
    figure.set_dpi(DOTS)
    try:
        # Letters unhinted, as in the SVG: the same shapes at any size, and a quarter faster.
        with rc_context({"text.hinting": "none"}):
            canvas.draw()
        return np.array(canvas.buffer_rgba(), dtype=np.uint8)[:, :, :3]
    finally:
        figure.set_dpi(before)
