"""When so many trays are not enough: what is the nearest question that they can answer?"""

from __future__ import annotations

from dataclasses import replace

from takestats.planning.power import feel_trials, simulated_power
from takestats.planning.question import Question

_STREAM = 9_000
_STEP = 0.01
_HALVINGS = 7


def _eased(question: Question, by: float) -> tuple[Question, float] | None:
    """The question made easier by a share of what can be given, and its new number."""
    if question.kind == "tell_apart":
        end = 1.0 if question.take_b > question.take_a else 0.0
        take = question.take_b + by * (end - question.take_b)
        return replace(question, take_b=take), take
    if question.kind == "above_floor":
        floor = question.take_a * (1.0 - by)
        return (replace(question, take_a=floor), floor) if floor > 0.01 else None
    if question.kind == "no_worse":
        margin = question.margin + by * (question.take_a - question.margin - 0.01)
    else:
        margin = question.margin + by * (0.5 - question.margin)
    return replace(question, margin=margin), margin


def nearest_answerable(
    question: Question, trays: int, icc: float, wanted: float, *, seed: int
) -> float | None:
    """The take, floor or margin nearest to the one asked for that so many trays can deal with.

    Parameters
    ----------
    question : Question
    trays : int
        Of each arm.
    icc : float
    wanted : float
        Power.
    seed : int

    Returns
    -------
    float or None
        The other take (tell apart), the floor, or the margin, in whole
        points, away from what was asked for; None when there is none.
    """

    def power(by: float) -> float:
        eased = _eased(question, by)
        if eased is None:
            return 0.0
        found = simulated_power(
            eased[0],
            trays,
            (icc,),
            trials=feel_trials(question),
            seed=seed,
            stream=_STREAM,
        )
        return found.power

    top = 1.0 if question.kind == "tell_apart" else 0.98
    if power(top) < wanted:
        other = _other_side(question)
        if other is None:
            return None
        return nearest_answerable(other, trays, icc, wanted, seed=seed)
    low, high = 0.0, top
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if power(middle) >= wanted:
            high = middle
        else:
            low = middle
    eased = _eased(question, high)
    return None if eased is None else _stepped(question, eased[1])


def _other_side(question: Question) -> Question | None:
    """A take as far below the first as the second lay above it: there is more room below."""
    if question.kind != "tell_apart" or question.take_b <= question.take_a:
        return None
    take = 2.0 * question.take_a - question.take_b
    return replace(question, take_b=take) if take > 0.0 else None


def _stepped(question: Question, value: float) -> float:
    """The value in whole points, on the easier side, inside 0 to 1."""
    places = value / _STEP
    up = question.kind in ("no_worse", "estimate") or (
        question.kind == "tell_apart" and question.take_b > question.take_a
    )
    whole = int(-(-places // 1)) if up else int(places // 1)
    return min(1.0, max(0.0, whole * _STEP))
