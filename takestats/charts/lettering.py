"""How wide is a text in a drawing, and can the drawing's letters show it at all?"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING
from unicodedata import bidirectional

from takestats.charts.letter_widths import UNITS, WIDTHS
from takestats.wording.shown import UNSEEN_SIGN, shown

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FONT = "DejaVu Sans"
"""Comes with the drawing library, so that every machine draws the same letters."""
_LEFT_TO_RIGHT = "\u200e"  # has no width and no ink
_SIZE = 10.0
_INCH = 72.0


def inches(text: str, size: float) -> float:
    """How wide a text is, in inches, without the library's small shifts between letters.

    Examples
    --------
    >>> 0.4 < inches("side veneer", 9.5) < 0.9
    True
    """
    return sum(_letter(letter) for letter in drawable(text)) * size / _SIZE / _INCH


def drawable(text: str) -> str:
    r"""Put a sign where the letters of the drawing have none, or would turn the text round.

    Examples
    --------
    >>> drawable("Härte\u202e 木\n2") == "Härte\ufffd \ufffd 2"
    True
    """
    flat = shown(text).replace("\n", " ").replace("\t", " ")
    return "".join(
        letter if letter in WIDTHS or ord(letter) in _known() else UNSEEN_SIGN for letter in flat
    )


def letter_safely(figure: Figure) -> None:
    """Make every text of a figure drawable, from left to right; lines stay lines."""
    from matplotlib.text import Text

    for text in figure.findobj(Text):
        said = text.get_text()
        kept = "\n".join(_from_the_left(drawable(line)) for line in said.split("\n"))
        if kept != said:
            text.set_text(kept)


def _from_the_left(line: str) -> str:
    """Begin a line with a mark of its direction when a name in it runs the other way."""
    if line.startswith(_LEFT_TO_RIGHT) or all(bidirectional(c) not in ("R", "AL") for c in line):
        return line
    return _LEFT_TO_RIGHT + line


@lru_cache(maxsize=1)
def _known() -> frozenset[int]:
    from matplotlib.font_manager import FontProperties, findfont, get_font

    return frozenset(get_font(findfont(FontProperties(family=FONT))).get_charmap())


@lru_cache(maxsize=4096)
def _letter(letter: str) -> float:
    """Width of one letter in points."""
    if letter in WIDTHS:
        return WIDTHS[letter] * _SIZE / UNITS
    # Between two bars: a space alone has no width of its own.
    return max(0.0, _points(f"|{letter}|") - _bars())


@lru_cache(maxsize=1)
def _bars() -> float:
    return _points("||")


def _points(text: str) -> float:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=FONT, size=_SIZE)
    return float(text_to_path.get_text_width_height_descent(text, font, ismath=False)[0])
