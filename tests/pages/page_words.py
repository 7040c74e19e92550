"""The words of a page as a reader meets them: no markup, no drawing, no style."""

from __future__ import annotations

import re
from html.parser import HTMLParser

_BREAKS = {"p", "li", "h1", "h2", "h3", "tr", "caption", "figcaption", "title", "section", "div"}
_SILENT = {"style", "svg"}


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _SILENT:
            self.silent += 1
        if tag in _BREAKS:
            self.parts.append("\n")
        if tag in ("td", "th"):
            self.parts.append(" | ")

    def handle_endtag(self, tag: str) -> None:
        if tag in _SILENT:
            self.silent -= 1
        if tag in _BREAKS:
            self.parts.append("\n")

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.parts.append(data.replace("\n", " "))


def page_words(html: str) -> str:
    """Every word outside drawings, a line each; versions of programs are left out."""
    reader = _Words()
    reader.feed(html)
    lines = (" ".join(line.split()).strip("| ") for line in "".join(reader.parts).split("\n"))
    text = "\n".join(line for line in lines if line) + "\n"
    programs = "takestats|Python|numpy|pandas|scipy|statsmodels|pandera|openpyxl|pyarrow"
    programs += "|matplotlib|jinja2"
    text = re.sub(rf"^({programs}) \| \S+$", r"\1 | (version)", text, flags=re.MULTILINE)
    return re.sub(r"sha256 [0-9a-f]{64}", "sha256 (digest)", text)
