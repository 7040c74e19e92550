"""Can this question be asked at all, and what is the nearest one that can?"""

from __future__ import annotations

import math
import numbers
from collections.abc import Iterable

from takestats.errors import CountsError, DesignError
from takestats.wording import plan_refusals as words

USUAL_ICCS = (0.02, 0.05, 0.10, 0.20)
BASES = ("tray_model", "normal", "arcsine", "exact")
_LARGEST_ICC = 0.6


def check_share(where: str, value: object, *, inside: bool = False) -> float:
    """Give a take back as a proportion, or ask whether percent was meant.

    Raises
    ------
    CountsError
        Outside 0 to 1; at 0 or 1 when it must lie inside.
    """
    number = _number(value)
    if not 0.0 <= number <= 1.0:
        raise CountsError(
            where=where,
            what=f"{value!r}",
            rule="a take is a proportion between 0 and 1",
            next_step=words.percent_question(number),
        )
    if inside and number in (0.0, 1.0):
        raise CountsError(
            where=where,
            what=f"{value!r}",
            rule="no trial can show a take of exactly 0 or 1, or a take beyond it",
            next_step="take the nearest take that would be worth knowing, as 0.95",
        )
    return number


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, numbers.Real):
        return math.nan
    return float(value)


def check_margin(margin: object) -> float:
    """Give the margin back.

    Raises
    ------
    CountsError
        When it is 0, negative, or no proportion.
    """
    number = _number(margin)
    if number == 0.0:
        raise CountsError(
            where="margin",
            what=f"{margin!r}",
            rule="no trial, however large, can show that two takes are exactly equal, or know one "
            "exactly",
            next_step="say how many points would matter on the bench, as margin=0.05, or ask "
            "trays_to_tell_apart",
        )
    if not 0.0 < number < 1.0:
        raise CountsError(
            where="margin",
            what=f"{margin!r}",
            rule="a margin is a difference of proportions between 0 and 1",
            next_step=words.points_question(number),
        )
    return number


def check_power(power: object, chance: float) -> float:
    """Give the power back.

    Raises
    ------
    CountsError
        Outside 0 to 1, or not above what chance alone would find.
    """
    number = _number(power)
    if not 0.0 < number < 1.0:
        raise CountsError(
            where="power",
            what=f"{power!r}",
            rule="power is a proportion between 0 and 1",
            next_step=words.percent_question(number, "0.8"),
        )
    if number <= chance:
        raise CountsError(
            where="power",
            what=f"{power!r}",
            rule=words.power_rule(chance),
            next_step="ask for a power of 0.8 or 0.9, or for a lower level",
        )
    return number


def check_whole(where: str, value: object, least: int, rule: str, next_step: str) -> int:
    """Give a whole number back.

    Raises
    ------
    CountsError
        When it is none, or below ``least``.
    """
    number = _number(value)
    if not math.isfinite(number) or number != math.floor(number) or number < least:
        raise CountsError(where=where, what=f"{value!r}", rule=rule, next_step=next_step)
    return int(number)


def check_tray_size(tray_size: object) -> int:
    """Give the grafts of a tray back."""
    return check_whole(
        "tray_size",
        tray_size,
        1,
        "a tray holds a whole number of grafts, at least one",
        "give the grafts in one tray, as tray_size=24",
    )


def check_most_trays(most_trays: object) -> int:
    """Give the most trays back."""
    return check_whole(
        "most_trays",
        most_trays,
        2,
        "one tray cannot show how trays differ: at least 2",
        "leave it at 500, or give what the bench can hold",
    )


def check_iccs(icc: object) -> tuple[float, ...]:
    """Give the intra-tray correlations back; None is the usual range.

    Raises
    ------
    CountsError
        For one that is no number from 0 to 0.6, or for none at all.
    """
    if icc is None:
        return USUAL_ICCS
    given = list(icc) if isinstance(icc, Iterable) and not isinstance(icc, str) else [icc]
    found = [_number(value) for value in given]
    if not found or not all(0.0 <= value <= _LARGEST_ICC for value in found):
        raise CountsError(
            where="icc",
            what=f"{icc!r}",
            rule="an intra-tray correlation is a number from 0 (trays alike) to 0.6",
            next_step="leave it out for a range of 0.02 to 0.20, or give past records as past=",
        )
    return tuple(dict.fromkeys(found))


def check_basis(basis: object, tray_size: int, iccs: tuple[float, ...]) -> None:
    """Say whether the basis is one of those there are, and fits.

    Raises
    ------
    CountsError
    """
    if basis not in BASES:
        raise CountsError(
            where="basis",
            what=f"{basis!r}",
            rule=f"basis is one of {', '.join(BASES)}",
            next_step="leave it at tray_model: a plan is judged with the interval that will be "
            "used",
        )
    if basis == "exact" and (tray_size != 1 or any(icc > 0.0 for icc in iccs)):
        raise CountsError(
            where="basis",
            what=f"'exact' with tray_size {tray_size}",
            rule="exact counts know no trays",
            next_step="give tray_size=1 and icc=0 for single grafts, or leave basis at tray_model",
        )


def check_different(take_a: float, take_b: float) -> None:
    """Two takes that are to be told apart must differ.

    Raises
    ------
    DesignError
    """
    if take_a == take_b:
        raise DesignError(
            where="take_a, take_b",
            what=f"both {take_a!r}",
            rule="equal takes cannot be told apart",
            next_step="ask trays_to_show_no_worse with the margin that matters, or give the take "
            "that would be worth changing for",
        )


def check_above(floor: float, take: float, where: str, name: str) -> None:
    """The take that is hoped for must lie above the floor.

    Raises
    ------
    DesignError
    """
    if take <= floor:
        raise DesignError(
            where=where,
            what=words.floor_above(floor, take, name),
            rule="a trial can only show what is so: the take that is hoped for lies above the "
            "floor",
            next_step=words.lower_floor(take, name),
        )


def check_margin_below(standard: float, margin: float) -> None:
    """A margin as large as the standard's take leaves nothing to be worse than.

    Raises
    ------
    DesignError
    """
    if margin >= standard:
        raise DesignError(
            where="standard, margin",
            what=words.margin_over_standard(standard, margin),
            rule="no worse by less than the whole standard: the margin is smaller than its take",
            next_step="ask with a smaller margin, or trays_to_exceed_floor with the lowest take "
            "worth having",
        )


def check_within_margin(standard: float, new: float, margin: float) -> None:
    """A take that is worse by the margin or more cannot be shown to be no worse.

    Raises
    ------
    DesignError
    """
    if new <= standard - margin:
        raise DesignError(
            where="new, margin",
            what=words.worse_by(standard, new, margin),
            rule="a trial can only show what is so: no worse means less than the margin below the "
            "standard",
            next_step=words.wider_margin(standard, new),
        )
