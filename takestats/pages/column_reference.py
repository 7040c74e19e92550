"""What does each column mean, what may stand in it, and how else is it headed?

Run as a command it writes the page again: ``python -m takestats.pages.column_reference``.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from takestats.pages.files import write_one
from takestats.records.columns import COLUMNS, Column
from takestats.records.known_settings import SETTINGS
from takestats.records.methods import AMBIGUOUS, METHODS
from takestats.records.workbook_layout import heading
from takestats.wording.column_page import (
    AMBIGUOUS_OPENING,
    DERIVED,
    DERIVED_TITLE,
    KINDS,
    MADE,
    METHODS_OPENING,
    OPENING,
    ROLES,
    SETTING_KINDS,
    SETTINGS_OPENING,
    TITLE,
    limits_words,
)

FOLDER, FILE = "reports", "columns.md"


def column_reference() -> str:
    """Set out every column, word and setting as one page of Markdown.

    Returns
    -------
    str
        Made from the declarations alone, so that the page cannot tell anything else.
    """
    parts = [f"# {TITLE}", MADE, OPENING]
    for role, title in ROLES.items():
        rows = [_row(column) for column in COLUMNS if column.role == role]
        if rows:
            parts += [f"## {title}", _table(_HEADER, rows)]
    derived = [(f"`{name}`", meaning) for name, meaning in DERIVED.items()]
    parts += [f"## {DERIVED_TITLE}", _table(("column", "what it is"), derived)]
    words = [_words_row(column, word) for column in COLUMNS for word in column.words]
    parts += ["## Words", _table(("column", "word", "also read"), words)]
    methods = [(f"`{word}`", _also(others)) for word, others in METHODS.items()]
    parts += ["## Grafts", METHODS_OPENING, _table(("word", "also read"), methods)]
    asked = [(word, ", ".join(choices)) for word, choices in AMBIGUOUS.items() if word]
    parts += [AMBIGUOUS_OPENING, _table(("word", "may mean"), asked)]
    settings = [
        (
            f"`{setting.section}.{setting.key}`" if setting.section else f"`{setting.key}`",
            setting.meaning,
            f"{SETTING_KINDS[setting.kind]} {', '.join(setting.one_of)}".strip(),
        )
        for setting in SETTINGS
    ]
    parts += ["## Settings", SETTINGS_OPENING, _table(("what", "meaning", "value"), settings)]
    return "\n\n".join(parts) + "\n"


def write_column_reference(folder: str | Path = FOLDER) -> list[Path]:
    """Write the page into a folder; return its path."""
    return [write_one(Path(folder) / FILE, column_reference().encode("utf-8"))]


_HEADER = (
    "column",
    "in the workbook",
    "meaning",
    "what stands in it",
    "must lie in",
    "asked about outside",
    "headings also read",
    "source of the limits",
)


def _row(column: Column) -> tuple[str, ...]:
    return (
        f"`{column.name}`",
        heading(column.name),
        column.meaning,
        KINDS[column.kind] + (f": {', '.join(column.words)}" if column.words else ""),
        limits_words(column.low, column.high, column.unit),
        limits_words(column.usual_low, column.usual_high, column.unit),
        _also(column.synonyms),
        column.source,
    )


def _words_row(column: Column, word: str) -> tuple[str, str, str]:
    return f"`{column.name}`", f"`{word}`", _also(column.words[word])


def _also(words: Sequence[str]) -> str:
    return ", ".join(words)


def _table(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [header, ["---"] * len(header), *rows]
    return "\n".join("| " + " | ".join(_cell(cell) for cell in line) + " |" for line in lines)


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


if __name__ == "__main__":
    write_column_reference()
