"""Which words of a plan go into the settings of its trial?"""

from __future__ import annotations

from takestats.wording.numbers import count_of, percent, whole
from takestats.wording.planning import aim_words


def question(kind: str, take_a: float, take_b: float, margin: float) -> str:
    """Say the question of a plan."""
    aim = aim_words(kind, take_a, take_b, margin)
    return f"Can this trial {aim}?"


def two_stage_question(floor: float, promising: float) -> str:
    """Say the question of a two-stage rule."""
    return f"Is its take nearer {percent(promising)} than {percent(floor)}?"


def exact_points(margin: float) -> float:
    """Give a margin in points, without the noise of the last digit."""
    return float(f"{100.0 * margin:.6f}")


def stages(first: int, drop: int, total: int, fail: int) -> list[str]:
    """Say the stages of a rule, one text each."""
    return [
        f"{count_of(first, 'graft')}: drop at {whole(drop)} or fewer",
        f"{count_of(total, 'graft')}: give up at {whole(fail)} or fewer",
    ]


def combination(scion: str, understock: str) -> str:
    """Name a combination as the records do."""
    return f"{scion} on {understock}"
