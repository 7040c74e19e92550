"""Which elements and which handlers does a page have?"""

from __future__ import annotations

from html.parser import HTMLParser


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.handlers: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
