"""How likely is it that a trial comes off, when the new take itself is not known?

Power averaged over what past combinations of the relation make likely.
"""

from __future__ import annotations

from dataclasses import replace

from takestats.models.grid_pairs import Distribution
from takestats.planning.power import simulated_power
from takestats.planning.question import Question
from takestats.planning.two_stage import TwoStage
from takestats.planning.two_stage_rules import kept_chance

_TAKES, _TRIALS = 12, 500
_STREAM = 11_000


def likely_takes(new: Distribution, number: int = _TAKES) -> list[float]:
    """Takes that stand for equal shares of what is likely."""
    takes = new.quantiles([(i + 0.5) / number for i in range(number)])
    return [min(max(take, 0.005), 0.999) for take in takes]


def assurance(question: Question, trays: int, icc: float, new: Distribution, seed: int) -> float:
    """Chance that the trial shows what is hoped for, over the likely takes of the new one.

    Notes
    -----
    Takes that are in truth worse than the margin or below the floor count as well:
    a trial that rightly does not show them is part of what may come.
    """
    powers = [
        simulated_power(
            replace(question, take_b=take),
            trays,
            (icc,),
            trials=_TRIALS,
            seed=seed,
            stream=_STREAM + index,
        ).power
        for index, take in enumerate(likely_takes(new))
    ]
    return sum(powers) / len(powers)


def chance_kept(rule: TwoStage, new: Distribution) -> float:
    """Chance that a two-stage rule keeps the new one, over its likely takes."""
    numbers = (rule.first, rule.drop_at_or_below, rule.total, rule.fail_at_or_below)
    chances = [kept_chance(take, rule.icc, rule.tray_size, numbers) for take in likely_takes(new)]
    return sum(chances) / len(chances)
