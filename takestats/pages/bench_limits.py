"""What are these trays too few to say?"""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

from takestats.pages.rows import takes_of
from takestats.wording.bench_trays import (
    all_in_one_tray_line,
    one_tray_each_line,
    one_tray_line,
    too_few_line,
    uneven_line,
    unseen_failure_line,
)
from takestats.wording.compared import WIDE
from takestats.wording.numbers import level_text
from takestats.wording.season import NO_TRAYS

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.pages.gathered import Gathered

FAILED_BADLY = 0.5
CLEARLY = 0.975
LITTLE_HELP = 0.10
FEWEST_IN_A_GROUP = 3


def too_few_lines(found: Gathered) -> list[str | None]:
    """What the trays of the season cannot say, in sentences.

    Parameters
    ----------
    found : Gathered

    Returns
    -------
    list of str or None
        None where a sentence does not apply.
    """
    if found.records.no_trays:
        return [NO_TRAYS]
    if found.model.trays == 1:
        return [all_in_one_tray_line()]
    each: list[str] = []
    single: list[str] = []
    wide = []
    for factor, rates in found.rates.items():
        takes = takes_of(rates, factor)
        if all(take.trays == 1 for take in takes):
            each.append(factor)
            continue
        single += [take.name for take in takes if take.trays == 1]
        wide += [take for take in takes if take.trays > 1 and take.high - take.low > WIDE]
    lines = [one_tray_each_line(each), one_tray_line(single), too_few_line(wide), *_uneven(found)]
    if found.main:
        lines.append(unseen_failure_line(_never_failed(found, found.main), found.main))
    return lines


def trays_can_stand_out(found: Gathered) -> bool:
    """Whether a group has trays enough for one of them to lie far from the others."""
    if found.records.no_trays:
        return False
    groups = found.model.lines
    if not found.main:
        return found.model.trays >= FEWEST_IN_A_GROUP
    return bool(groups.groupby(found.main)["tray_id"].nunique().max() >= FEWEST_IN_A_GROUP)


def more_grafts_are_no_help(model: TakeModel) -> bool:
    """Whether twice the grafts a tray would narrow a difference by less than a tenth.

    At the middle of the interval of the intra-tray correlation: the standard error goes with
    the root of (1 + (n - 1) r) / n, n grafts a tray.

    Parameters
    ----------
    model : TakeModel

    Returns
    -------
    bool
        False where no trays are recorded.
    """
    table = model.tray_variation.table
    everyone = table[table["level"] == "all"]
    if everyone.empty:
        return False
    return narrowed_by(float(everyone["icc"].iloc[0]), model.grafts / model.trays) < LITTLE_HELP


def narrowed_by(correlation: float, grafts: float) -> float:
    """By which share twice the grafts a tray narrow the standard error.

    Parameters
    ----------
    correlation : float
        Intra-tray correlation.
    grafts : float
        Grafts per tray.

    Examples
    --------
    >>> round(narrowed_by(0.0, 20), 3), round(narrowed_by(1.0, 20), 3)
    (0.293, 0.0)
    """
    once = (1.0 + (grafts - 1.0) * correlation) / grafts
    twice = (1.0 + (2.0 * grafts - 1.0) * correlation) / (2.0 * grafts)
    return 1.0 - math.sqrt(twice / once)


def _uneven(found: Gathered) -> list[str | None]:
    lines: list[str | None] = []
    if not found.main:
        return lines
    for first, second in combinations(found.model.levels(found.main), 2):
        chance = found.model.belief.more_uneven(first, second)
        if chance >= CLEARLY:
            lines.append(uneven_line(level_text(first), level_text(second)))
        elif chance <= 1.0 - CLEARLY:
            lines.append(uneven_line(level_text(second), level_text(first)))
    return lines


def _never_failed(found: Gathered, factor: str) -> list[tuple[str, int]]:
    lines = found.models[factor].lines
    sums = lines.groupby([factor, "tray_id"], sort=True)[["taken", "tried"]].sum().reset_index()
    sums = sums[sums["tried"] > 0]
    levels = []
    for level, trays in sums.groupby(factor, sort=True):
        if bool((trays["taken"] >= FAILED_BADLY * trays["tried"]).all()):
            levels.append((level_text(level), len(trays)))
    return levels
