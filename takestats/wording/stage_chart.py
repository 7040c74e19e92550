"""What does a chart of the stages of a graft say in words?"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from takestats.wording.charts import take_value
from takestats.wording.numbers import level_words, trays_words, whole
from takestats.wording.said import opened

AXIS_STAGES = "share, in percent"


class Stage(NamedTuple):
    """One stage of one level, for a chart (proportions, counts)."""

    level: str
    stage: str
    share: float
    low: float
    high: float
    alive: float
    out_of: float
    trays: float


def stages_sentence(stages: Sequence[Stage], season: str) -> str:
    """Say what a chart of stages shows.

    Examples
    --------
    >>> stages_sentence([Stage("cleft", "taken", 0.8, 0.7, 0.9, 80, 100, 4),
    ...     Stage("cleft", "saleable of made", 0.7, 0.6, 0.8, 70, 100, 4)], "2026")
    'From graft to saleable plant, season 2026: cleft, taken 80 % (70 to 90), saleable of made \
70 % (60 to 80).'
    """
    said = []
    opening = f"From graft to saleable plant{f', season {season}' if season else ''}"
    for name, group in groupby(stages, key=lambda stage: stage.level):
        parts = [
            f"{stage.stage} {take_value(stage.share, stage.low, stage.high)}" for stage in group
        ]
        said.append(f"{name}, {', '.join(parts)}")
    if len(said) > 2:
        ends = [stage for stage in stages if stage.stage == stages[0].stage]
        low = min(ends, key=lambda stage: stage.share)
        high = max(ends, key=lambda stage: stage.share)
        return (
            f"{opening}, {len(said)} of them: {low.stage} from "
            f"{take_value(low.share, low.low, low.high)} for {low.level} to "
            f"{take_value(high.share, high.low, high.high)} for {high.level}."
        )
    return f"{opening}: {'; '.join(said)}."


def stages_key(shown: Sequence[str], level: float = 0.95) -> str:
    """Say how a chart of stages is read.

    Examples
    --------
    >>> stages_key(["taken", "saleable of made"])
    'Circle: taken; triangle: saleable of made. Line: the 95 % confidence interval, raw, quick \
limits. Each share is out of what its name says, so the dots of one row are not added up.'
    """
    names = [f"{_SHAPE_WORDS[stage]}: {stage}" for stage in shown]
    return (
        f"{opened('; '.join(names))}. Line: the {level_words(level)}, raw, quick limits. Each "
        "share is out of what its name says, so the dots of one row are not added up."
    )


_SHAPE_WORDS = {
    "taken": "circle",
    "alive later": "square",
    "saleable of taken": "diamond",
    "saleable of made": "triangle",
}


def stages_spoken(stages: Sequence[Stage]) -> str:
    """Say a chart of stages to somebody who cannot see it.

    Examples
    --------
    >>> stages_spoken([Stage("cleft", "taken", 0.8, 0.7, 0.9, 80, 100, 4)])
    'cleft, taken: 80 % (70 to 90), 80 of 100, 4 trays.'
    """
    return " ".join(
        f"{s.level}, {s.stage}: {take_value(s.share, s.low, s.high)}, {counted_value(s)}, "
        f"{trays_words(s.trays)}."
        for s in stages
    )


def counted_value(stage: Stage) -> str:
    """Say the counts of a stage.

    Examples
    --------
    >>> counted_value(Stage("cleft", "taken", 0.8, 0.7, 0.9, 80, 100, 4))
    '80 of 100'
    """
    return f"{whole(stage.alive)} of {whole(stage.out_of)}"
