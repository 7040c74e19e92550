"""Where did each tray stand, and what took there, in words?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from takestats.charts.chart import Chart
from takestats.charts.lettering import inches
from takestats.charts.style import (
    INK,
    LINE,
    MARGIN,
    SOFT,
    WIDTH,
    house_style,
    inch_axes,
    wrapped,
)
from takestats.wording.tray_map import (
    IN_ORDER,
    MAP_HEADING,
    MAP_KEY,
    OTHER_TRAYS,
    box_lines,
    map_sentence,
    map_spoken,
    panel_title,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ACROSS = 6
"""Boxes in a line."""
TALLEST = 8.6
"""Inches of a chart that fits a printed sheet with its caption."""
_ROOM = WIDTH - 4 * MARGIN
_STEP = _ROOM / ACROSS
_BOX = _STEP - 0.07
_HIGH = 0.56
_LOWER = 0.44  # without a place to write
_BETWEEN = 0.09
_HEAD = 0.28
_SIZE = 7.5
_TITLE = 46  # letters of a heading, which are bold


class Tray(NamedTuple):
    """A tray to be drawn.

    Parameters
    ----------
    bench, row : str
        Blank when not recorded.
    place : int or None
        Along the row.
    label : str
        The position as recorded.
    tray : str
    taken, tried : float
    side : str
        "low", "high" or blank.
    """

    bench: str
    row: str
    place: int | None
    label: str
    tray: str
    taken: float
    tried: float
    side: str


class _Line(NamedTuple):
    """A line of the map: boxes at their columns, or a heading, which has none."""

    boxes: tuple[tuple[int, Tray], ...]
    bench: str
    how: str
    more: bool = False


Sheet = list[_Line]


def bench_sheets(trays: Sequence[Tray], most: int = 6) -> tuple[list[Sheet], int]:
    """Cut the trays of a season into drawings that each fit a printed sheet.

    Parameters
    ----------
    trays : sequence of Tray
        Bench by bench, in order.
    most : int
        Drawings at most.

    Returns
    -------
    tuple of list of Sheet and int
        For :func:`bench_map`, and how many trays are drawn in none of them.
    """
    sheets = _sheets(_lines(trays))
    rest = sum(len(line.boxes) for lines in sheets[most:] for line in lines)
    return sheets[:most], rest


def bench_map(sheet: Sheet, *, name: str, judged: bool = True, marker: str = "") -> Chart:
    """Where did each tray stand, and what took there?

    Parameters
    ----------
    sheet : Sheet
        From :func:`bench_sheets`.
    name : str
        Short name of the chart.
    judged : bool
        Whether there are trays enough for one of them to stand out.
    marker : str
        Set before the sentence when the data are invented or quoted.

    Returns
    -------
    Chart
        Trays as boxes in their places, an odd one with a heavy outline and a word.
    """
    total = math.fsum(map(_height, sheet)) + 0.06
    with house_style():
        figure, axes = inch_axes(total, foot=0.06)
        axes.set_xlim(0.0, _ROOM)
        axes.set_xticks([])
        axes.spines["bottom"].set_visible(False)
        y = total - 0.03
        for line in sheet:
            if not line.boxes:
                for part in wrapped(_title(line), _TITLE):
                    y -= _HEAD
                    axes.text(0.0, y + 0.08, part, fontsize=9.0, color=INK, fontweight="bold")
                continue
            for column, tray in line.boxes:
                _box(axes, column * _STEP, y, tray, _box_height(line))
            y -= _height(line)
    drawn = [tray for line in sheet for _, tray in line.boxes]
    benches = list(dict.fromkeys(tray.bench for tray in drawn))
    odd = [tray.tray for tray in drawn if tray.side]
    said = map_sentence(len(drawn), benches, odd, judged=judged)
    return Chart(
        name=name,
        figure=figure,
        title=MAP_HEADING,
        sentence=f"{marker} {said}".strip(),
        key=MAP_KEY,
        spoken=map_spoken([(t.bench, t.label, t.tray, t.taken, t.tried, t.side) for t in drawn]),
    )


def _lines(trays: Sequence[Tray]) -> list[_Line]:
    """Headings and lines of boxes, bench by bench."""
    lines: list[_Line] = []
    for bench in dict.fromkeys(tray.bench for tray in trays):
        mine = [tray for tray in trays if tray.bench == bench]
        placed = [tray for tray in mine if tray.place is not None]
        others = [tray for tray in mine if tray.place is None]
        if placed:
            lines.append(_Line((), bench, ""))
            for row in dict.fromkeys(tray.row for tray in placed):
                lines += _row([tray for tray in placed if tray.row == row], bench)
        if others:
            how = OTHER_TRAYS if placed else IN_ORDER
            lines.append(_Line((), bench, how))
            lines += [
                _Line(tuple(enumerate(others[start : start + ACROSS])), bench, how)
                for start in range(0, len(others), ACROSS)
            ]
    return lines


def _row(trays: Sequence[Tray], bench: str) -> list[_Line]:
    """One row of a bench; it goes on in the next line when it is longer than the sheet is wide."""
    by_line: dict[int, list[tuple[int, Tray]]] = {}
    for tray in trays:
        index = (tray.place or 1) - 1
        by_line.setdefault(index // ACROSS, []).append((index % ACROSS, tray))
    return [_Line(tuple(by_line[key]), bench, "") for key in sorted(by_line)]


def _sheets(lines: Sequence[_Line]) -> list[Sheet]:
    """Cut the lines where a sheet is full, never between a heading and its first boxes."""
    sheets: list[Sheet] = [[]]
    high = 0.0
    for index, line in enumerate(lines):
        need = _height(line)
        follows = _height(lines[index + 1]) if not line.boxes else 0.0
        if sheets[-1] and high + need + follows > TALLEST:
            sheets.append([])
            high = 0.0
            if line.boxes:
                sheets[-1].append(_Line((), line.bench, line.how, more=True))
                high += _HEAD
        sheets[-1].append(line)
        high += need
    return [sheet for sheet in sheets if sheet]


def _height(line: _Line) -> float:
    if line.boxes:
        return _box_height(line) + _BETWEEN
    return _HEAD * len(wrapped(_title(line), _TITLE))


def _box_height(line: _Line) -> float:
    return _HIGH if any(tray.label for _, tray in line.boxes) else _LOWER


def _title(line: _Line) -> str:
    return panel_title(line.bench, line.how, more=line.more)


def _box(axes: Axes, left: float, top: float, tray: Tray, high: float) -> None:
    """A tray: its place small, its name, what took, and a word when it is odd."""
    from matplotlib.patches import Rectangle

    from takestats.charts.short_text import short_text

    axes.add_artist(
        Rectangle(
            (left, top - high),
            _BOX,
            high,
            facecolor="white",
            edgecolor=INK if tray.side else SOFT,
            linewidth=2.2 if tray.side else 0.7,
        )
    )
    place, name, count, side = box_lines(tray.label, tray.tray, tray.taken, tray.tried, tray.side)
    lines = [(name, INK), (count, INK), (side, INK)]
    if place:
        lines.insert(0, (place, LINE))
    y = top - 0.02
    for text, ink in lines:
        if text:
            y -= 0.125
            short_text(
                axes,
                left + 0.05,
                y,
                _cut(text),
                fontsize=_SIZE,
                color=ink,
                fontweight="bold" if text == side else "normal",
            )


def _cut(text: str) -> str:
    """As much of a name as the box holds."""
    room = _BOX - 0.1
    text = text.replace("\n", " ")
    if inches(text, _SIZE) <= room:
        return text
    kept = text
    while len(kept) > 1 and inches(f"{kept}…", _SIZE) > room:
        kept = kept[:-1]
    return f"{kept}…"
