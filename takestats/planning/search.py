"""How few trays answer the question often enough?

A closed form says where to look, a few hundred simulated trials feel the way,
10,000 confirm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy import special

from takestats.planning.closed_forms import (
    corrected_size,
    design_effect,
    floor_size,
    score_size,
    wilson_size,
)
from takestats.planning.power import Power, confirm_trials, feel_trials, simulated_power
from takestats.planning.question import Question

FEWEST = 2
#: Takes this near to each other, or to 100 %, have no useful formula: many trays to start with.
_NO_STEP, _FAR = 1e-4, 60
_NEAR = 0.002
_CLOSE = 0.01
_MOST_CONFIRMED = 5
_MOST_FELT = 8


@dataclass(frozen=True, kw_only=True)
class Found:
    """The trays of one ICC.

    Parameters
    ----------
    confirmed : Power
        At the number of trays found, or at the most allowed.
    reached : bool
        Whether the wanted power was reached.
    """

    confirmed: Power
    reached: bool


def first_guess(question: Question, icc: float, power: float) -> int:
    """Trays by the closed form with the design effect."""
    level, new = 1.0 - 2.0 * question.tail, _inside(question.take_b)
    old = _inside(question.take_a)
    if question.kind == "estimate":
        size = wilson_size(new, question.margin, level)
    elif question.kind == "no_worse":
        size = score_size(old, max(new, old - 0.9 * question.margin), question.margin, level, power)
    elif abs(new - old) < _NO_STEP:
        return _FAR
    elif question.kind == "tell_apart":
        size = corrected_size(old, new, level, power)
    else:
        size = floor_size(old, new, level, power)
    own = max(question.sizes)
    effect = design_effect(own, icc)
    if question.within_trays:
        effect = max(1.0 - icc, 0.5)
    return max(FEWEST, math.ceil(size * effect / own))


def _inside(take: float) -> float:
    return min(max(take, 0.005), 0.995)


class _Feeler:
    """Remembers what was felt, and reads between the points."""

    def __init__(
        self, question: Question, icc: float, wanted: float, seed: int, stream: int
    ) -> None:
        self._question, self._icc, self._wanted = question, icc, wanted
        self._seed, self._stream = seed, stream
        self.trials = feel_trials(question)
        self.known: dict[int, tuple[float, int]] = {}

    def feel(self, trays: int, trials: int) -> float:
        """Simulate a few trials of this size; what is known better is kept."""
        if trays not in self.known or self.known[trays][1] < trials:
            found = simulated_power(
                self._question,
                trays,
                (self._icc,),
                trials=trials,
                seed=self._seed,
                stream=self._stream,
            )
            self.note(found)
        return self.known[trays][0]

    def note(self, found: Power) -> None:
        """Keep what a run said."""
        if found.trays not in self.known or self.known[found.trays][1] <= found.trials:
            self.known[found.trays] = (found.power, found.trials)

    def bracket(self) -> tuple[int, int]:
        """Largest size that falls short and smallest above it that does not; 0 when there is none.

        Few trays' power saws a little: what is known best decides.
        """
        good = [t for t, (p, _) in self.known.items() if p >= self._wanted]
        low = [t for t, (p, _) in self.known.items() if p < self._wanted]
        high = min((t for t in good if t > max(low, default=0)), default=0)
        return max((t for t in low if not high or t < high), default=0), high

    def between(self, low: int, high: int) -> int:
        """Where the wanted power should lie, on the probit scale over the root of the trays."""
        one, two = (float(special.ndtri(_open(self.known[t][0]))) for t in (low, high))
        target = float(special.ndtri(self._wanted))
        part = (target - one) / max(two - one, 1e-9)
        root = math.sqrt(low) + part * (math.sqrt(high) - math.sqrt(low))
        return min(high, max(low + 1, math.ceil(root**2 - 1e-9)))


def _open(power: float) -> float:
    return min(max(power, 1e-4), 1.0 - 1e-4)


def _felt(feeler: _Feeler, guess: int, wanted: float, most: int) -> int | None:
    """Feel the way to the first size that is likely to do; None when the most does not."""
    trays = min(max(guess, FEWEST), most)
    for _ in range(_MOST_FELT):
        power = feeler.feel(trays, feeler.trials)
        if power >= wanted:
            if trays == FEWEST:
                return trays
            trays = max(FEWEST, min(trays - 1, int(0.7 * trays)))
        else:
            if trays == most:
                break
            trays = min(most, max(trays + 1, math.ceil(1.45 * trays)))
        low, high = feeler.bracket()
        if high and (low or high == FEWEST):
            break
    low, high = feeler.bracket()
    if not high:
        return most if low == most and feeler.known[most][0] > wanted - 3.0 * _CLOSE else None
    if low and high - low > 1:
        feeler.feel(feeler.between(low, high), feeler.trials)
        low, high = feeler.bracket()
    return feeler.between(low, high) if low and high else (high or None)


def search_trays(
    question: Question,
    icc: float,
    wanted: float,
    most: int,
    *,
    seed: int,
    stream: int,
) -> Found:
    """Find the trays of each arm that answer the question with the wanted power.

    Parameters
    ----------
    question : Question
    icc : float
    wanted : float
        Power; of an estimate the share of trials that are precise enough.
    most : int
        Trays of each arm that are thought of at all.
    seed, stream : int

    Returns
    -------
    Found
        With few trays the smallest number that does; with many, one whose power is
        within a point above the wanted one.
    """
    feeler = _Feeler(question, icc, wanted, seed, stream)
    trays = _felt(feeler, first_guess(question, icc, wanted), wanted, most)
    trials = confirm_trials(question)
    sure: dict[int, Power] = {}

    def confirm(at: int) -> Power:
        if at not in sure:
            sure[at] = simulated_power(
                question, at, (icc,), trials=trials, seed=seed, stream=stream + 1, widths=True
            )
            feeler.note(sure[at])
        return sure[at]

    if trays is None:
        return Found(confirmed=confirm(most), reached=False)
    for _ in range(_MOST_CONFIRMED):
        found = confirm(trays)
        if found.power >= wanted:
            fewer = trays - 1
            if trays == FEWEST or found.power < wanted + min(_NEAR * trays, _CLOSE):
                break
            if fewer in sure:
                break
            low, _ = feeler.bracket()
            trays = max(FEWEST, min(fewer, feeler.between(low, trays) if low else fewer))
        else:
            if trays >= most:
                return Found(confirmed=found, reached=False)
            if trays + 1 in sure and sure[trays + 1].power >= wanted:
                break
            _, high = feeler.bracket()
            trays = feeler.between(trays, high) if high else min(most, trays + max(1, trays // 12))
    good = [p for p in sure.values() if p.power >= wanted]
    if not good:
        last = max(sure)
        while last < most:
            last = min(most, last + max(1, last // 20))
            if confirm(last).power >= wanted:
                return Found(confirmed=sure[last], reached=True)
        return Found(confirmed=sure[most], reached=False)
    return Found(confirmed=min(good, key=lambda p: p.trays), reached=True)
