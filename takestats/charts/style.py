"""What does every chart of takestats look like?

One neutral hue. Levels are told apart by shape and by text, never by colour, so a
chart survives a black-and-white printer and any eye.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Any

from takestats.charts.lettering import FONT, inches

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK = "#22303f"
LINE = "#3d566f"
SOFT = "#7d90a3"
PALE = "#dde4ea"
SHAPES = ("o", "s", "D", "^", "v", "p", "h", "8")
WIDTH = 5.0
MARGIN = 0.12
NAME_SIZE = 9.5
SMALL_SIZE = 8.5
_LETTERS = 54  # of ordinary width in the whole width of a chart
_WIDEST = 0.14  # inches of the widest letters of names
_SETTINGS: dict[str, Any] = {
    "font.family": FONT,
    "font.size": SMALL_SIZE,
    "text.color": INK,
    "text.parse_math": False,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "svg.fonttype": "path",
    "path.simplify": False,
}


@contextmanager
def house_style() -> Iterator[None]:
    """Draw inside this: the reader's own matplotlib settings are neither used nor changed."""
    from matplotlib import rc_context

    # seaborn is deliberately left out: the marks here are few and placed in inches.
    settings: Any = {**_default_settings(), **_SETTINGS}
    with rc_context(settings):
        yield


@cache
def _default_settings() -> dict[str, Any]:
    from matplotlib import rcParamsDefault

    keys = ("lines.", "font.", "text.", "axes.", "xtick.", "ytick.", "patch.", "svg.", "path.")
    return {key: value for key, value in rcParamsDefault.items() if key.startswith(keys)}


def blank_figure(height: float) -> Figure:
    """Nothing but paper, as wide as every chart.

    Parameters
    ----------
    height : float
        Inches.
    """
    from matplotlib.figure import Figure

    return Figure(figsize=(WIDTH, height))


def inch_axes(height: float, foot: float = 0.5) -> tuple[Figure, Axes]:
    """Make a figure whose vertical axis is measured in inches from the bottom.

    Parameters
    ----------
    height : float
        Height of the plotting area in inches.
    foot : float
        Room below it for the horizontal axis, inches.
    """
    total = height + foot + 0.06
    figure = blank_figure(total)
    axes = figure.add_axes(
        (
            MARGIN * 2 / WIDTH,
            foot / total,
            (WIDTH - 4 * MARGIN) / WIDTH,
            height / total,
        )
    )
    axes.set_ylim(0.0, height)
    axes.set_yticks([])
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    axes.tick_params(axis="x", length=3, width=0.7, labelsize=SMALL_SIZE)
    return figure, axes


def shape(index: int) -> str:
    """The shape of the level at this place; shapes come round again after eight."""
    return SHAPES[index % len(SHAPES)]


def wrapped(text: str, most: int = 54) -> list[str]:
    """Cut a long name into lines, at " on " when it is a combination.

    Parameters
    ----------
    text : str
    most : int
        Letters of a line; a line of wide letters has fewer.

    Examples
    --------
    >>> wrapped("cleft"), len(wrapped("W" * 60))
    (['cleft'], 2)
    """
    text = text.replace("\n", " ")
    fit = _fitting(text, most)
    if fit >= len(text):
        return [text]
    if " on " in text.strip():
        scion, understock = text.split(" on ", 1)
        return [*wrapped(scion, most), *wrapped(f"on {understock}", most)] if scion else [text]
    cut = text.rfind(" ", 0, fit)
    if cut <= 0:
        return [text[:fit], *wrapped(text[fit:], most)]
    return [text[:cut], *wrapped(text[cut + 1 :], most)]


def _fitting(text: str, most: int) -> int:
    """How many letters from the start fit a line."""
    fit = min(len(text), most)
    room = (WIDTH - 4 * MARGIN) * most / _LETTERS
    while fit > 1 and fit * _WIDEST > room and inches(text[:fit], NAME_SIZE) > room:
        fit -= 1
    return fit
