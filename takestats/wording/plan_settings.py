"""Which words of a plan go into the settings of its trial?"""

from __future__ import annotations

from takestats.wording.numbers import count_of, percent, points, whole
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


def exact_share(share: float) -> float:
    """Give a share without the noise of the last digit.

    Examples
    --------
    >>> exact_share(0.7000000000000001)
    0.7
    """
    return float(f"{share:.8f}")


def named_question(kind: str, new: str, standard: str, limit: float) -> str:
    """Ask the question of a plan about what is on trial by its name.

    Parameters
    ----------
    kind : str
    new, standard : str
    limit : float
        The floor, or the margin.
    """
    return {
        "tell_apart": f"Does {new} take better or worse than {standard}?",
        "no_worse": f"Is {new} less than {points(limit)} worse than {standard}?",
        "above_floor": f"Does the take of {new} lie above {percent(limit)}?",
        "estimate": f"What is the take of {new}, to within {points(limit)} either way?",
    }[kind]


def stages(first: int, drop: int, total: int, fail: int) -> list[str]:
    """Say the stages of a rule, one text each."""
    return [
        f"{count_of(first, 'graft')}: drop at {whole(drop)} or fewer",
        f"{count_of(total, 'graft')}: give up at {whole(fail)} or fewer",
    ]


def combination(scion: str, understock: str) -> str:
    """Name a combination as the records do."""
    return f"{scion} on {understock}"
