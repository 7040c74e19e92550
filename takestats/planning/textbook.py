"""What do the textbooks answer to the four questions?

Every graft by itself, the trays through the design effect: to be asked for by
name (``basis``), and what the search starts from.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from takestats.errors import CountsError
from takestats.planning import closed_forms as forms
from takestats.planning.exact_counts import (
    exact_sizes,
    exact_test,
    fisher_power,
    fisher_size,
)
from takestats.planning.question import Basis, Question

_TINY = 1e-9


@dataclass(frozen=True, kw_only=True)
class TextbookSize:
    """A textbook's answer.

    Parameters
    ----------
    grafts : float
        Of each arm, as the formula gives it; whole for exact counts.
    trays : int
        Of each arm, rounded up; no more than the most.
    power : float
        Of so many trays.
    reached : bool
    steady : int or None
        For exact counts: the first number from which every larger one does.
    """

    grafts: float
    trays: int
    power: float
    reached: bool
    steady: int | None = None


def _refused(basis: Basis, kind: str) -> CountsError:
    return CountsError(
        where="basis",
        what=f"{basis!r} for this question",
        rule="exact: tell apart and above a floor; arcsine: these two; normal: all four",
        next_step="ask with basis='normal', or leave basis at tray_model",
    )


def _formula(question: Question, basis: Basis, power: float) -> float:
    level = 1.0 - 2.0 * question.tail
    a, b = question.take_a, question.take_b
    if basis == "arcsine":
        if question.kind == "tell_apart":
            return forms.arcsine_size(a, b, level, power)
        if question.kind == "above_floor":
            return forms.angle_size(a, b, level, power)
        raise _refused(basis, question.kind)
    if question.kind == "tell_apart":
        return forms.pooled_size(a, b, level, power)
    if question.kind == "no_worse":
        return forms.blackwelder_size(a, b, question.margin, level, power)
    if question.kind == "above_floor":
        return forms.floor_size(a, b, level, power)
    return forms.wald_size(b, question.margin, level)


def _power(question: Question, basis: Basis, grafts: float) -> float:
    level = 1.0 - 2.0 * question.tail
    a, b = question.take_a, question.take_b
    if question.kind == "tell_apart" and basis == "arcsine":
        return forms.arcsine_power(forms.angle_between(a, b), grafts, level)
    if question.kind == "tell_apart":
        return forms.pooled_power(a, b, grafts, level)
    if question.kind == "no_worse":
        return forms.blackwelder_power(a, b, question.margin, grafts, level)
    if basis == "arcsine":
        shift = forms.angle_between(a, b) * math.sqrt(grafts)
        return forms.arcsine_power(shift * math.sqrt(2.0), 1.0, level)
    if question.kind == "above_floor":
        return forms.floor_power(a, b, grafts, level)
    return float("nan")


def textbook_size(
    question: Question, basis: Basis, icc: float, wanted: float, most: int
) -> TextbookSize:
    """Answer by a textbook formula.

    Parameters
    ----------
    question : Question
    basis : {"normal", "arcsine", "exact"}
    icc : float
    wanted : float
        Power.
    most : int
        Trays of each arm.

    Raises
    ------
    CountsError
        Where the basis has no formula for the question.
    """
    if basis == "exact":
        return _exact(question, wanted, most)
    size = max(question.sizes)
    effect = forms.design_effect(size, icc)
    grafts = _formula(question, basis, wanted) * effect
    trays = max(1, math.ceil(grafts / size - _TINY))
    reached = trays <= most
    trays = min(trays, most)
    return TextbookSize(
        grafts=grafts,
        trays=trays,
        power=_power(question, basis, trays * size / effect),
        reached=reached,
    )


def _exact(question: Question, wanted: float, most: int) -> TextbookSize:
    if question.kind == "above_floor":
        found = exact_sizes(question.take_a, question.take_b, question.tail, wanted, most)
        if found is None:
            last = exact_test(question.take_a, question.take_b, most, question.tail)
            return TextbookSize(grafts=most, trays=most, power=last.power, reached=False)
        first, steady = found
        return TextbookSize(
            grafts=first.grafts,
            trays=first.grafts,
            power=first.power,
            reached=True,
            steady=steady.grafts,
        )
    if question.kind != "tell_apart":
        raise _refused("exact", question.kind)
    level = 1.0 - 2.0 * question.tail
    a, b = question.take_a, question.take_b
    start = int(0.8 * forms.arcsine_size(a, b, level, wanted))
    sized = fisher_size(a, b, level, wanted, min(start, most), most)
    if sized is None:
        power = fisher_power(a, most, b, most, level)
        return TextbookSize(grafts=most, trays=most, power=power, reached=False)
    return TextbookSize(grafts=sized[0], trays=sized[0], power=sized[1], reached=True)
