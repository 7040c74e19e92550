"""How does a computed report become one self-contained page?"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from importlib.resources import files

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from takestats.charts.chart import Chart
from takestats.pages.figures import Drawing
from takestats.pages.parts import Picture, SeasonReport, Section
from takestats.wording.cautions import CAUTIONS
from takestats.wording.shown import shown

_CUT = 12
_ENDLESS = re.compile(r"(\S{30,})")


def page_bytes(report: SeasonReport, drawn: Sequence[Drawing] | None = None) -> bytes:
    """Render a report as one HTML page: no scripts, nothing fetched, the same bytes each time.

    Parameters
    ----------
    report : SeasonReport
    drawn : sequence of Drawing, optional
        Its charts in order, where they were drawn already.

    Returns
    -------
    bytes
        UTF-8 HTML with its style sheet and its charts inside.
    """
    known = None if drawn is None else iter(drawn)
    of_section = {id(section): _drawn(section, known) for section in report.sections}
    parts = [
        (
            key,
            heading,
            [of_section[id(section)] for section in report.sections if section.part == key],
        )
        for key, heading in report.parts
    ]
    text = (
        environment("season_page.html.j2")
        .get_template("season_page.html.j2")
        .render(
            report=report,
            parts=[part for part in parts if part[2]],
            cautions=CAUTIONS,
            style=Markup(template_text("season_page.css")),
        )
    )
    return (re.sub(r"\n\s*\n+", "\n", text).strip() + "\n").encode("utf-8")


def _drawn(
    section: Section, drawn: Iterator[Drawing] | None
) -> tuple[Section, list[tuple[object, Chart | Drawing | None, Markup]]]:
    blocks: list[tuple[object, Chart | Drawing | None, Markup]] = []
    for block in section.blocks:
        if isinstance(block, Picture):
            # Texts inside the SVG are drawn as outlines; title and desc are escaped there.
            told = block.chart if drawn is None else next(drawn)
            svg = told.svg if isinstance(told, Drawing) else block.svg
            blocks.append((block, told, Markup(svg)))
        else:
            blocks.append((block, None, Markup("")))
    return section, blocks


@lru_cache
def environment(*names: str) -> Environment:
    """Templates of these names, where every text is escaped and no name may be unknown."""
    made = Environment(
        loader=DictLoader({name: template_text(name) for name in names}),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["held"] = held
    made.filters["shown"] = shown
    return made


def template_text(name: str) -> str:
    """A template, or a style sheet, as it was written."""
    return (files("takestats.pages") / "templates" / name).read_text(encoding="utf-8")


def held(text: str) -> Markup:
    r"""Escape a text, keep a number with its percent sign, and let an endless word be cut.

    What would turn or hide the rest of a line is shown as a sign.

    Examples
    --------
    >>> str(held("91 % of <40>")) == "91\u00a0% of &lt;40&gt;", str(held("W" * 33)).count("<wbr>")
    (True, 2)
    """
    words = shown(text).replace(" %", "\u00a0%")
    parts = _ENDLESS.split(words)
    return Markup("").join(
        Markup("<wbr>").join(part[at : at + _CUT] for at in range(0, len(part), _CUT))
        if index % 2
        else part
        for index, part in enumerate(parts)
    )
