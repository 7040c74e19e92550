"""How does a figure stand inside a page, the same bytes each time?"""

from __future__ import annotations

import io
import re
from html import escape
from typing import TYPE_CHECKING

from takestats.charts.chart import Chart
from takestats.charts.lettering import letter_safely
from takestats.wording.numbers import plain
from takestats.wording.shown import shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_SALT = "takestats"


def figure_svg(figure: Figure) -> str:
    """Write a figure as SVG text without date and with fixed identifiers.

    Letters are drawn as outlines, so no reader's fonts can push one word over another.
    """
    from matplotlib import rc_context

    letter_safely(figure)
    buffer = io.StringIO()
    with rc_context({"svg.hashsalt": _SALT, "svg.fonttype": "path"}):
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return buffer.getvalue()


def inner_svg(figure: Figure, name: str) -> tuple[str, tuple[float, float]]:
    """What stands inside the ``<svg>`` element of a figure, and its width and height.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
    name : str
        Put before every identifier.

    Returns
    -------
    tuple of str and (float, float)
        Points.
    """
    text = figure_svg(figure)
    text = text[text.index("<svg") :].strip()
    text = re.sub(r"<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    text = re.sub(r"<defs>\s*<style[^>]*>.*?</style>\s*</defs>", "", text, flags=re.DOTALL)
    text = re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL)
    text = re.sub(r"\n\s*", "\n", text)
    text = re.sub(r'\bid="([^"]+)"', rf'id="{name}-\1"', text)
    text = re.sub(r'href="#([^"]+)"', rf'href="#{name}-\1"', text)
    text = re.sub(r"url\(#([^)]+)\)", rf"url(#{name}-\1)", text)
    box = re.search(r'viewBox="0 0 (\S+) (\S+)"', text)
    if box is None:  # pragma: no cover - the drawing library always writes it
        raise AssertionError("an SVG without a viewBox")
    inside = text[text.index(">") + 1 :].removesuffix("</svg>")
    return inside, (float(box.group(1)), float(box.group(2)))


def chart_svg(chart: Chart) -> str:
    """Write a chart as inline SVG with a title and a description that can be read aloud.

    Parameters
    ----------
    chart : Chart

    Returns
    -------
    str
        One ``<svg>`` element; its identifiers begin with the chart's name, so that
        several charts can stand on one page.
    """
    inside, size = inner_svg(chart.figure, chart.name)
    return f"{svg_head(chart, size, chart.spoken)}{inside}</svg>"


def svg_head(
    chart: Chart, size: tuple[float, float], described: str, *, alone: bool = False
) -> str:
    """The beginning of an ``<svg>`` element: its size, its title and its description.

    Parameters
    ----------
    chart : Chart
    size : tuple of float
        Width and height in points.
    described : str
        Read aloud to who cannot see the chart.
    alone : bool
        Whether it stands in a file of its own, with a size of its own.
    """
    wide, high = plain(size[0]), plain(size[1])
    place = f'width="{wide}pt" height="{high}pt"' if alone else f'style="max-width:{wide}pt"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'class="chart" viewBox="0 0 {wide} {high}" {place} role="img" '
        f'aria-labelledby="{chart.name}-title {chart.name}-desc" '
        f'stroke-linejoin="round" stroke-linecap="butt">\n'
        f'<title id="{chart.name}-title">{escape(shown(chart.title))}</title>\n'
        f'<desc id="{chart.name}-desc">{escape(shown(described))}</desc>'
    )
