"""How does a figure stand inside a page, the same bytes each time?"""

from __future__ import annotations

import io
import re
from html import escape
from typing import TYPE_CHECKING

from matplotlib import rc_context

from takestats.charts.chart import Chart

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_SALT = "takestats"


def figure_svg(figure: Figure) -> str:
    """Write a figure as SVG text without date and with fixed identifiers.

    Letters are drawn as outlines, so no reader's fonts can push one word over another.
    """
    buffer = io.StringIO()
    with rc_context({"svg.hashsalt": _SALT, "svg.fonttype": "path"}):
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return buffer.getvalue()


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
    text = figure_svg(chart.figure)
    text = text[text.index("<svg") :].strip()
    text = re.sub(r"<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    text = re.sub(r"<defs>\s*<style[^>]*>.*?</style>\s*</defs>", "", text, flags=re.DOTALL)
    text = re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL)
    text = re.sub(r"\n\s*", "\n", text)
    text = re.sub(r'\bid="([^"]+)"', rf'id="{chart.name}-\1"', text)
    text = re.sub(r'href="#([^"]+)"', rf'href="#{chart.name}-\1"', text)
    text = re.sub(r"url\(#([^)]+)\)", rf"url(#{chart.name}-\1)", text)
    box = re.search(r'viewBox="([^"]+)"', text)
    if box is None:  # pragma: no cover - the drawing library always writes it
        raise AssertionError("an SVG without a viewBox")
    wide = box.group(1).split()[2]
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'class="chart" viewBox="{box.group(1)}" style="max-width:{wide}pt" role="img" '
        f'aria-labelledby="{chart.name}-title {chart.name}-desc" '
        f'stroke-linejoin="round" stroke-linecap="butt">\n'
        f'<title id="{chart.name}-title">{escape(chart.title)}</title>\n'
        f'<desc id="{chart.name}-desc">{escape(chart.spoken)}</desc>'
    )
    return head + text[text.index(">") + 1 :]
