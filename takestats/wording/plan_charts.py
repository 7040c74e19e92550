"""What do the charts of a plan say: their sentence, their key, their spoken form?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.numbers import count_of, listing, percent, points, whole
from takestats.wording.plan_costs import more_buys_tail
from takestats.wording.planning import icc_words, of_hundred

AXIS_TRAYS_EACH = "trays of each"
AXIS_TRAYS = "trays"
AXIS_POWER = "of 100 such trials"
AXIS_WIDTH = "width of the interval, in points"
AXIS_SIZE = "grafts in a tray"
AXIS_TAKE = "true take, in percent"
LABELS_OVER = "trays differ by"
KEPT, DROPPED = "kept in the end", "dropped early"
FLOOR, PROMISING = "floor", "promising"


class PowerPoint(NamedTuple):
    """How often trials of one size answer, at one intra-tray correlation (proportions)."""

    icc: float
    trays: int
    grafts: int
    power: float
    width: float
    trials: int


class SizePoint(NamedTuple):
    """How often trials answer with trays of one size."""

    tray_size: int
    trays: int
    grafts: int
    power: float


class KeptPoint(NamedTuple):
    """What a two-stage rule does with a combination of one true take."""

    take: float
    dropped: float
    kept: float
    grafts: float


class Planned(NamedTuple):
    """The plan that the charts stand around."""

    trays: int
    tray_size: int
    icc: float
    power: float
    wanted: float
    aim: str
    each: bool
    of_difference: bool


def axis_hundred(share: float) -> str:
    """Say a place on the axis of power.

    Examples
    --------
    >>> axis_hundred(0.8)
    '80'
    """
    return f"{100.0 * share:.0f}"


def trays_of(trays: int, each: bool) -> str:
    """Say trays, of each where there are several methods.

    Examples
    --------
    >>> trays_of(9, True), trays_of(1, False)
    ('9 trays of each', '1 tray')
    """
    return f"{count_of(trays, 'tray')}{' of each' if each else ''}"


def wanted_label(wanted: float) -> str:
    """Name the thin line of the power that was asked for."""
    return f"{of_hundred(wanted)} asked for"


def plan_label(trays: int) -> str:
    """Name the place of the plan."""
    return f"plan: {count_of(trays, 'tray')}"


def power_title(planned: Planned) -> str:
    """Head the chart of power."""
    return f"How often so many trays {planned.aim}"


def power_sentence(planned: Planned, rows: Sequence[PowerPoint]) -> str:
    """Say what the chart of power shows: the plan, and the plan of every other correlation.

    Parameters
    ----------
    planned : Planned
    rows : sequence of PowerPoint
        One for each correlation: the trays that it needs, as in the plan's table.
    """
    said = (
        f"{trays_of(planned.trays, planned.each)} {planned.aim} in {of_hundred(planned.power)} "
        f"such trials if trays differ by {icc_words(planned.icc)}"
    )
    others = [
        f"{whole(row.trays)} in {of_hundred(row.power)} if by {icc_words(row.icc)}"
        for row in rows
        if row.icc != planned.icc
    ]
    return f"{said}; {listing(others)}." if others else f"{said}."


def power_key(trials: int, *, lines: int) -> str:
    """Say how the chart of power is read, and how far simulation may be off."""
    off = math.ceil(200.0 * math.sqrt(0.25 / max(1, trials)))
    line = "Line and shape: one intra-tray correlation, named at its end" if lines > 1 else "Line"
    return (
        f"{line}; filled shape: the plan; thin level line: what was asked for. Points off the plan "
        f"are from {whole(trials)} simulated trials each, right to within about {whole(off)} of "
        "100."
    )


def power_spoken(rows: Sequence[PowerPoint]) -> str:
    """Say every number of the chart of power."""
    return " ".join(
        f"Trays differing by {icc_words(icc)}: "
        + ", ".join(f"{count_of(r.trays, 'tray')} {of_hundred(r.power)}" for r in rows
                    if r.icc == icc)
        + "."
        for icc in dict.fromkeys(row.icc for row in rows)
    )  # fmt: skip


def width_title(planned: Planned) -> str:
    """Head the chart of widths."""
    return f"How wide the interval of the {_of(planned)} will be"


def _of(planned: Planned) -> str:
    return "difference" if planned.of_difference else "take"


def width_sentence(planned: Planned, rows: Sequence[PowerPoint]) -> str:
    """Say what the chart of widths shows, at the plan and at fewer trays."""
    mine = [row for row in rows if row.icc == planned.icc]
    at = next((row for row in mine if row.trays == planned.trays), mine[-1])
    fewer = [row for row in mine if row.trays < at.trays and row.trays * 2 >= at.trays]
    fewest = [row for row in mine if row.trays < at.trays]
    other = (fewer or fewest or mine)[0]
    said = (
        f"At {trays_of(at.trays, planned.each)} the 95 % confidence interval of the {_of(planned)} "
        f"will be about {points(at.width)} wide if trays differ by {icc_words(planned.icc)}"
    )
    if other.trays >= at.trays:
        return f"{said}."
    return f"{said}, at {whole(other.trays)} about {points(other.width)}."


def width_key(*, lines: int) -> str:
    """Say how the chart of widths is read."""
    line = "Line and shape: one intra-tray correlation, named at its end" if lines > 1 else "Line"
    return f"{line}; filled shape: the plan; the width of the middle one of simulated trials."


def width_spoken(rows: Sequence[PowerPoint]) -> str:
    """Say every number of the chart of widths."""
    return " ".join(
        f"Trays differing by {icc_words(icc)}: "
        + ", ".join(f"{count_of(r.trays, 'tray')} {points(r.width)}" for r in rows if r.icc == icc)
        + "."
        for icc in dict.fromkeys(row.icc for row in rows)
    )


SIZE_TITLE = "What larger trays would do"


def size_sentence(planned: Planned, rows: Sequence[SizePoint]) -> str:
    """Say whether trays or grafts in a tray buy power, at as many grafts in all."""
    at = {(row.trays, row.tray_size): row for row in rows}
    own = at[planned.trays, planned.tray_size]
    larger = at.get((planned.trays, 2 * planned.tray_size), own)
    half = max(2, planned.trays // 2)
    fewer = at.get((half, 2 * planned.tray_size))
    base = at.get((half, planned.tray_size))
    said = (
        f"{trays_of(own.trays, planned.each)} of {count_of(own.tray_size, 'graft')} "
        f"{planned.aim} in {of_hundred(own.power)} trials, of {whole(larger.tray_size)} in "
        f"{of_hundred(larger.power)}"
    )
    if fewer is None or base is None or half == planned.trays:
        return f"{said}."
    tail = more_buys_tail(base.power, fewer.power, own.power)
    return f"{said}; {whole(half)} trays of {whole(fewer.tray_size)} in {of_hundred(fewer.power)}: {tail}."  # noqa: E501


def size_key(icc: float, trials: int) -> str:
    """Say how the chart of tray sizes is read."""
    off = math.ceil(200.0 * math.sqrt(0.25 / max(1, trials)))
    return (
        "Line and shape: so many trays, named at its end; filled shape: the plan. Trays differ by "
        f"{icc_words(icc)}, however large they are; off the plan right to within about "
        f"{whole(off)} of 100."
    )


def size_spoken(rows: Sequence[SizePoint]) -> str:
    """Say every number of the chart of tray sizes."""
    return " ".join(
        f"{count_of(trays, 'tray')}: "
        + ", ".join(f"{count_of(r.tray_size, 'graft')} in a tray {of_hundred(r.power)}"
                    for r in rows if r.trays == trays)
        + "."
        for trays in dict.fromkeys(row.trays for row in rows)
    )  # fmt: skip


KEPT_TITLE = "What the rule does with a combination, by its true take"


def kept_sentence(floor: KeptPoint, promising: KeptPoint) -> str:
    """Say what the chart of a two-stage rule shows.

    Examples
    --------
    >>> kept_sentence(KeptPoint(0.7, 0.6, 0.05, 15.0), KeptPoint(0.9, 0.1, 0.8, 25.0))
    'Kept in 5.0 of 100 trials if its true take is 70 %, in 80 of 100 if it is 90 %.'
    """
    return (
        f"Kept in {of_hundred(floor.kept)} trials if its true take is {percent(floor.take)}, in "
        f"{of_hundred(promising.kept)} if it is {percent(promising.take)}."
    )


KEPT_KEY = (
    "Filled shapes: kept after both stages; open shapes: dropped after the first; upright thin "
    "lines: the floor and the promising take. Exact, not simulated."
)


def kept_spoken(rows: Sequence[KeptPoint]) -> str:
    """Say every number of the chart of a two-stage rule."""
    return " ".join(
        f"True take {percent(r.take)}: kept {of_hundred(r.kept)}, dropped early "
        f"{of_hundred(r.dropped)}, {whole(r.grafts)} grafts to be expected."
        for r in rows
    )
