"""On which axes do lines stand that are named at their ends?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from takestats.charts.style import INK, LINE, NAME_SIZE, PALE, SMALL_SIZE, SOFT, WIDTH, blank_figure

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEIGHT, _FOOT, _HEAD = 2.35, 0.52, 0.3
_LEFT, _RIGHT = 0.62, 1.12
_APART = 0.17
_STEM = 0.16
#: Room of the name of a level line, in shares of the axes.
_NAME_WIDE, _NAME_HIGH = 0.42, 0.075


def line_axes(*, right: float = _RIGHT) -> tuple[Figure, Axes]:
    """Make a figure with room for the names of lines to the right of it, in inches."""
    total = _HEIGHT + _FOOT + _HEAD
    figure = blank_figure(total)
    axes = figure.add_axes(
        (_LEFT / WIDTH, _FOOT / total, (WIDTH - _LEFT - right) / WIDTH, _HEIGHT / total)
    )
    for side in ("right", "top"):
        axes.spines[side].set_visible(False)
    axes.tick_params(length=3, width=0.7, labelsize=SMALL_SIZE)
    return figure, axes


def level_ticks(axes: Axes, places: Sequence[float], texts: Sequence[str], name: str) -> None:
    """Set the ticks of the upright axis, each with a pale line across, and its name on top."""
    axes.set_yticks(places, texts)
    for place in places:
        axes.axhline(place, color=PALE, linewidth=0.6, zorder=0)
    axes.text(0.0, 1.06, name, transform=axes.transAxes, fontsize=SMALL_SIZE, color=INK, ha="left")


def name_ends(axes: Axes, ends: Sequence[tuple[float, float, str]], heading: str = "") -> None:
    """Name each line at its end; names that would touch are moved apart.

    Parameters
    ----------
    axes : Axes
        Its limits are set.
    ends : sequence of (x, y, name)
        The last point of each line.
    heading : str
        Above the names.
    """
    low, high = axes.get_ylim()
    inch = (high - low) / _HEIGHT
    left, right = axes.get_xlim()
    wide = (right - left) / (axes.get_position().width * WIDTH)
    order = sorted(range(len(ends)), key=lambda i: (ends[i][1], -i))
    places = spread([ends[i][1] for i in order], _APART * inch, high)
    for i, y in zip(order, places, strict=True):
        x, end, name = ends[i]
        axes.plot(
            [x + 0.06 * wide, right + _STEM * wide], [end, y], color=SOFT, lw=0.6, clip_on=False
        )
        axes.text(
            right + (_STEM + 0.05) * wide, y, name, fontsize=NAME_SIZE, color=INK, va="center"
        )
    if heading:
        axes.text(
            right + _STEM * wide, 1.06, heading, transform=axes.get_xaxis_transform(),
            fontsize=SMALL_SIZE, color=LINE, ha="left",
        )  # fmt: skip


def spread(places: Sequence[float], apart: float, most: float) -> list[float]:
    """Move rising places apart, and none above the most.

    Examples
    --------
    >>> spread([0.5, 0.98, 0.99], 0.1, 1.0)
    [0.5, 0.9, 1.0]
    """
    out: list[float] = []
    for place in places:
        out.append(max(place, out[-1] + apart) if out else place)
    top = most
    for index in range(len(out) - 1, -1, -1):
        out[index] = min(out[index], top)
        top = out[index] - apart
    return out


def name_level(axes: Axes, level: float, name: str) -> None:
    """Name a level line where the fewest other lines run: at its left or right, above or below."""
    low, high = axes.get_ylim()
    left, right = axes.get_xlim()
    run = [
        (
            (np.linspace(x[:-1], x[1:], 12).ravel() - left) / (right - left),
            (np.linspace(y[:-1], y[1:], 12).ravel() - low) / (high - low),
        )
        for x, y in (
            (np.asarray(line.get_xdata(), float), np.asarray(line.get_ydata(), float))
            for line in axes.lines
            if len(line.get_xdata()) > 2  # type: ignore[arg-type]
        )
    ]
    at = (level - low) / (high - low)
    best, fewest = (0.01, at), math.inf
    for start in (0.01, 0.99 - _NAME_WIDE):
        for foot in (at, at - _NAME_HIGH):
            inside = sum(
                int(
                    np.sum(
                        (x > start)
                        & (x < start + _NAME_WIDE)
                        & (y > foot)
                        & (y < foot + _NAME_HIGH)
                    )
                )
                for x, y in run
            )
            if inside < fewest and foot + _NAME_HIGH <= 1.0 + 1e-9:
                best, fewest = (start, foot), inside
    axes.text(
        best[0] + (0.0 if best[0] < 0.5 else _NAME_WIDE), best[1] + 0.5 * _NAME_HIGH, name,
        transform=axes.transAxes, fontsize=SMALL_SIZE, color=INK, va="center",
        ha="left" if best[0] < 0.5 else "right",
    )  # fmt: skip
