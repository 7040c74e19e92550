"""How often would a trial of this size answer the question?"""

from __future__ import annotations

from dataclasses import dataclass, replace

from takestats.planning.judged import judged
from takestats.planning.question import Question
from takestats.planning.simulated import simulated_counts

#: Trials that confirm a plan; that feel their way to it; that give a width.
CONFIRM, FEEL, WIDTHS = 10_000, 1_200, 500
PAIRED_CONFIRM, PAIRED_FEEL = 3_000, 400
_NOTHING = 1_000_003


@dataclass(frozen=True, kw_only=True)
class Power:
    """What simulated trials of one size said.

    Parameters
    ----------
    trays : int
        Of each arm.
    icc : float
    power : float
        Share of trials that answered the question as hoped for.
    against : float
        Share that told the arms apart the wrong way round.
    width : float
        Median width of the interval; nan when not asked for.
    trials : int
    """

    trays: int
    icc: float
    power: float
    against: float
    width: float
    trials: int


def simulated_power(
    question: Question,
    trays: int,
    iccs: tuple[float, ...],
    *,
    trials: int,
    seed: int,
    widths: bool = False,
    stream: int = 0,
) -> Power:
    """Simulate trials of one size and judge them.

    Parameters
    ----------
    question : Question
    trays : int
        Of each arm.
    iccs : tuple of float
        Of each arm, or one for all.
    trials : int
    seed, stream : int
        Same seed and stream, same digits; another stream, fresh trials.
    widths : bool
        Also the median width of the interval.
    """
    each = iccs * len(question.takes) if len(iccs) == 1 else iccs
    counts = simulated_counts(question, trays, each, trials, (seed, stream, trays))
    verdicts = judged(question, counts, min(each), widths=WIDTHS if widths else 0)
    return Power(
        trays=trays,
        icc=sum(each) / len(each),
        power=float(verdicts.found.mean()),
        against=float(verdicts.against.mean()),
        width=verdicts.width,
        trials=trials,
    )


def confirm_trials(question: Question) -> int:
    """How many trials confirm a plan: fewer where both methods share the trays."""
    return PAIRED_CONFIRM if question.within_trays else CONFIRM


def feel_trials(question: Question) -> int:
    """How many trials feel the way."""
    return PAIRED_FEEL if question.within_trays else FEEL


def nothing_to_find(question: Question) -> Question | None:
    """The question where there is nothing to find; None for an estimate."""
    if question.kind == "tell_apart":
        return replace(question, take_b=question.take_a)
    if question.kind == "no_worse":
        return replace(question, take_b=question.take_a - question.margin)
    if question.kind == "above_floor":
        return replace(question, take_b=question.take_a)
    return None


def false_positive_rate(
    question: Question, trays: int, icc: float, *, trials: int, seed: int
) -> float:
    """Share of trials that find what is not there.

    Equal takes told apart (either way round), a take worse by the whole margin
    called no worse, a take at the floor called above it; nan for an estimate.
    """
    nothing = nothing_to_find(question)
    if nothing is None:
        return float("nan")
    found = simulated_power(nothing, trays, (icc,), trials=trials, seed=seed, stream=_NOTHING)
    return found.power + (found.against if question.kind == "tell_apart" else 0.0)
