"""What does a plan say when its question cannot be asked, and which is the nearest that can?"""

from __future__ import annotations

import math

from takestats.wording.numbers import count_of, percent, plain, points, whole
from takestats.wording.planning import icc_words, of_hundred


def percent_question(number: float, instead: str = "0.95") -> str:
    """Ask whether percent was meant.

    Examples
    --------
    >>> percent_question(95.0)
    'did you mean 95 %? Then write 0.95'
    """
    if 1.0 < number <= 100.0:
        return f"did you mean {plain(number)} %? Then write {plain(number / 100.0)}"
    return f"write a proportion, as {instead}"


def points_question(number: float) -> str:
    """Ask whether points were meant.

    Examples
    --------
    >>> points_question(10.0)
    'did you mean 10 points? Then write 0.1'
    """
    if 1.0 <= number < 100.0:
        return f"did you mean {plain(number)} points? Then write {plain(number / 100.0)}"
    return "write a proportion, as 0.05 for 5 points"


def share_question(number: float, *, bare: bool) -> str:
    """Ask whether percent was meant, where either may be typed.

    Examples
    --------
    >>> share_question(95.0, bare=True)
    'did you mean 95 %? Then write 95% or 0.95.'
    """
    if bare and 1.0 < number <= 100.0:
        return (
            f"did you mean {plain(number)} %? Then write {plain(number)}% or "
            f"{plain(number / 100.0)}."
        )
    return "write a share, as 90% or 0.9."


def margin_question(number: float) -> str:
    """Ask whether points were meant, where either may be typed.

    Examples
    --------
    >>> margin_question(10.0)
    'did you mean 10 points? Then write "10 points" or 0.1.'
    """
    if 1.0 <= number < 100.0:
        return (
            f'did you mean {plain(number)} points? Then write "{plain(number)} points" or '
            f"{plain(number / 100.0)}."
        )
    return 'write points, as "10 points" or 0.1.'


def power_rule(chance: float) -> str:
    """Say why so little power is none."""
    return (
        f"a power of {percent(chance)} or less is what chance alone finds where there is nothing "
        "to find"
    )


def floor_above(floor: float, take: float, name: str) -> str:
    """Say that the floor is not below what is hoped for."""
    return f"floor {percent(floor)}, {name} {percent(take)}"


def lower_floor(take: float, name: str) -> str:
    """Give the nearest question about a floor that can be asked."""
    if take <= 0.05:
        return f"give a higher {name}"
    return (
        f"ask for a floor below {percent(take)}, as {plain(float(f'{max(0.01, take - 0.1):.2f}'))}"
    )


def worse_by(standard: float, new: float, margin: float) -> str:
    """Say that the new take is assumed worse by the margin or more."""
    return (
        f"{percent(new)} against a standard of {percent(standard)}, with a margin of "
        f"{points(margin)}"
    )


def wider_margin(standard: float, new: float) -> str:
    """Give the nearest no-worse question that can be asked."""
    gap = math.ceil(100.0 * (standard - new) - 1e-9) + 5
    return f"ask with a margin above {points(standard - new)}, as {plain(gap / 100.0)}"


def unreachable_what(
    kind: str, aim: str, most: int, power: float, wanted: float, icc: float
) -> str:
    """Say that the most trays are not enough."""
    return (
        f"to {aim} with {count_of(most, 'tray')}{_of_each(kind)} and an intra-tray correlation of "
        f"{icc_words(icc)} comes off in {of_hundred(power)}, not {of_hundred(wanted)}, trials"
    )


def _of_each(kind: str) -> str:
    return "" if kind in ("above_floor", "estimate") else " of each"


def nearest_question(kind: str, most: int, take: float | None, take_a: float, icc: float) -> str:
    """Give the nearest question that so many trays can answer at every correlation asked."""
    if take is None:
        return "allow more trays, or ask for less power or a wider step"
    trays = f"up to a correlation of {icc_words(icc)}, {count_of(most, 'tray')}{_of_each(kind)}"
    if kind == "tell_apart":
        return f"{trays} can tell {percent(take_a)} from {percent(take)}: ask that"
    if kind == "above_floor":
        return f"{trays} can show a floor of {percent(take)}: ask that"
    word = "can show a margin of" if kind == "no_worse" else "can know it to within"
    return f"{trays} {word} {points(take)}: ask that"


def too_few_grafts(at_most: int, least: int) -> tuple[str, str, str]:
    """What, rule and next step where the grafts do not fill two trays of each."""
    return (
        f"{count_of(at_most, 'graft')}",
        f"two trays of each take {whole(least)} grafts, and one tray of each cannot show how trays "
        "differ",
        "give smaller trays (tray_size), or at least "
        f"{whole(least)} grafts, or ask two_stage about single grafts",
    )


def margin_over_standard(standard: float, margin: float) -> str:
    """Say that the margin is as large as the standard's take."""
    return f"a margin of {points(margin)} below a standard of {percent(standard)}"


def poor_standard(name: str, take: float) -> str:
    """Say that the standard hardly takes."""
    return f"{name}, expected to take {percent(take)}"
